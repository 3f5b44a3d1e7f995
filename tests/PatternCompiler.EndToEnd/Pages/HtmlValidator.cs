namespace PatternCompiler.EndToEnd.Pages;

/// <summary>
/// The npm package html-validate with its recommended rules: the WHATWG's content models and good practice of
/// accessibility. Its version and checksums are pinned in package-lock.json beside the settings; it is installed once into
/// the folder of build outputs.
/// </summary>
internal static class HtmlValidator
{
    private static readonly string Folder = Path.Combine(Repository.Root, ".artifacts", "html-validate");

    private static readonly Lazy<string> Program = new(Install);

    /// <summary>What it has to say about a page; empty for a valid one.</summary>
    public static string Check(string file)
    {
        Outcome outcome = Executable.Shell(Folder, $"'{Program.Value}' --config .htmlvalidate.json --formatter text '{file}' 2>&1");
        return outcome.ExitCode == 0 ? "" : outcome.Output.Length > 0 ? outcome.Output : $"exit code {outcome.ExitCode}";
    }

    private static string Install()
    {
        Directory.CreateDirectory(Folder);
        string program = Path.Combine(Folder, "node_modules", ".bin", "html-validate");
        string settings = Path.Combine(Repository.Root, "tests", "PatternCompiler.EndToEnd", "Pages", "Validator");
        bool isCurrent = File.Exists(program);
        foreach (string name in (string[])["package.json", "package-lock.json", ".htmlvalidate.json"])
        {
            string copy = Path.Combine(Folder, name);
            string text = File.ReadAllText(Path.Combine(settings, name));
            isCurrent &= File.Exists(copy) && File.ReadAllText(copy) == text;
            File.WriteAllText(copy, text);
        }

        if (!isCurrent)
        {
            Executable.Shell(Folder, "npm ci --ignore-scripts --no-audit --no-fund --loglevel=error").Expect(0);
        }

        return program;
    }
}
