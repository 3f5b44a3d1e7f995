namespace PatternCompiler.EndToEnd.Pages;

/// <summary>The npm package html-validate with its recommended rules: the WHATWG's content models and good practice of accessibility.</summary>
internal static class HtmlValidator
{
    private static readonly Lazy<string> Folder = new(() => NpmFolder.Install("html-validate", "Pages", "Validator"));

    /// <summary>The npm package axe-core as one script, for a page in a browser.</summary>
    public static string AccessibilityScript => Path.Combine(Folder.Value, "node_modules", "axe-core", "axe.min.js");

    /// <summary>What it has to say about a page; empty for a valid one.</summary>
    public static string Check(string file)
    {
        Outcome outcome = Executable.Shell(Folder.Value, $"node_modules/.bin/html-validate --config .htmlvalidate.json --formatter text '{file}' 2>&1");
        return outcome.ExitCode == 0 ? "" : outcome.Output.Length > 0 ? outcome.Output : $"exit code {outcome.ExitCode}";
    }
}
