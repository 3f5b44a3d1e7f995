using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Runs;

/// <summary>Reads the lines of a log of runs. A line that was cut short, because whoever wrote it was, is passed over.</summary>
internal static class RunLogReader
{
    // A line holds the provenance of a build, with a line for each of its inputs and outputs.
    private const int LongestLine = 64 << 20;
    private const string Opening = "{\"time\":";

    /// <summary>All whole lines in their order.</summary>
    /// <param name="log">The log; stays open.</param>
    /// <param name="name">Its name for messages.</param>
    /// <param name="endsInMiddle">The last line has no line feed behind it.</param>
    /// <exception cref="CompileException">It is no log of runs.</exception>
    public static List<RunLogLine> Read(Stream log, string name, out bool endsInMiddle)
    {
        List<RunLogLine> lines = [];
        endsInMiddle = false;
        using var reader = new StreamReader(log, leaveOpen: true);
        for (int number = 1; ReadLine(reader, name, number, out bool isWhole) is string text; number++)
        {
            endsInMiddle = !isWhole;
            if (RunLogLine.TryRead(text) is { } line)
            {
                lines.Add(line);
            }
            else if (number == 1 && text.Length == 0 || !IsCutShort(text))
            {
                throw NoLog(name, number);
            }
        }

        return lines;
    }

    private static bool IsCutShort(string text) => text.StartsWith(Opening, StringComparison.Ordinal) || Opening.StartsWith(text, StringComparison.Ordinal);

    // Null at the end.
    private static string? ReadLine(StreamReader reader, string name, int number, out bool isWhole)
    {
        isWhole = false;
        var text = new StringBuilder();
        for (int next = reader.Read(); next >= 0; next = reader.Read())
        {
            if (next == '\n')
            {
                isWhole = true;
                return text.ToString();
            }

            text.Append((char)next);
            if (text.Length > LongestLine)
            {
                throw NoLog(name, number);
            }
        }

        return text.Length == 0 ? null : text.ToString();
    }

    private static CompileException NoLog(string name, int line) => new(
        RunCodes.NoLog, "this is not a line of a log of runs, and nothing is added to another file", new SourcePlace(name, line), "name another file for the log");
}
