using PatternCompiler.Files;

namespace PatternCompiler.Cli.Arguments;

/// <summary>
/// The words of the command line. Those that are not UTF-8 have lost bytes on their way through the runtime; on Linux they are
/// read again as the kernel has them.
/// </summary>
internal static class CommandWords
{
    private const string CommandLineFile = "/proc/self/cmdline";

    public static string[] Restore(string[] words)
    {
        if (!OperatingSystem.IsLinux() || !words.Any(word => word.Contains('\uFFFD', StringComparison.Ordinal)))
        {
            return words;
        }

        try
        {
            byte[] line = File.ReadAllBytes(CommandLineFile);
            string[] all = [.. Split(line)];
            return all.Length >= words.Length ? all[^words.Length..] : words;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            return words;
        }
    }

    private static IEnumerable<string> Split(byte[] line)
    {
        for (int start = 0; start < line.Length;)
        {
            int end = Array.IndexOf(line, (byte)0, start);
            end = end < 0 ? line.Length : end;
            yield return FileName.Decode(line.AsSpan(start, end - start));
            start = end + 1;
        }
    }
}
