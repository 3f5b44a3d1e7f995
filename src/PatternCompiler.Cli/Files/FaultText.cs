namespace PatternCompiler.Cli.Files;

/// <summary>The operating system's words for a fault, without the path that the diagnostic names already.</summary>
internal static class FaultText
{
    public static string Of(Exception fault)
    {
        string text = fault.Message;
        int quote = text.IndexOf(" : '", StringComparison.Ordinal);
        text = (quote > 0 ? text[..quote] : text).TrimEnd('.');
        return text.Length > 1 && char.IsUpper(text[0]) && char.IsLower(text[1]) ? char.ToLowerInvariant(text[0]) + text[1..] : text;
    }
}
