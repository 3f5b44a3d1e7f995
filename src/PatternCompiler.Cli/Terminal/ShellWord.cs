namespace PatternCompiler.Cli.Terminal;

/// <summary>A name as a word of a command line to copy: a shell takes it as it is, whatever it holds.</summary>
internal static class ShellWord
{
    public static string Of(string name) => name.Length > 0 && name[0] != '~' && name.All(IsPlain)
        ? name
        : $"'{name.Replace("'", "'\\''", StringComparison.Ordinal)}'";

    private static bool IsPlain(char c) => char.IsAsciiLetterOrDigit(c) || c is '/' or '.' or '_' or '-' or '+' or ',' or ':' or '=' or '@' or '%' or '~';
}
