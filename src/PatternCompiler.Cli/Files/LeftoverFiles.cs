using System.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Files;

/// <summary>
/// Unfinished outputs that a killed run has left behind. Their names tell the process that wrote them; when it no longer
/// runs, nobody will finish them.
/// </summary>
internal sealed class LeftoverFiles
{
    private const string Ending = ".partial";

    private readonly HashSet<string> cleaned = new(StringComparer.Ordinal);
    private readonly Lock gate = new();

    /// <summary>Name of the unfinished form of a file.</summary>
    public static string NameOf(string fileName) => $".{fileName}.{Environment.ProcessId}{Ending}";

    /// <summary>Removes what dead processes have left in a folder; looks into each folder once.</summary>
    public void Clean(string folder)
    {
        lock (gate)
        {
            if (!cleaned.Add(folder))
            {
                return;
            }
        }

        foreach (string path in Directory.EnumerateFiles(folder, ".*" + Ending))
        {
            if (IsAbandoned(Path.GetFileName(path)))
            {
                try
                {
                    File.Delete(path);
                }
                catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
                {
                    // It harms nobody; the output at hand matters more.
                }
            }
        }
    }

    private static bool IsAbandoned(string name)
    {
        string stem = name[..^Ending.Length];
        int point = stem.LastIndexOf('.');
        return point > 0 && NumberText.TryParseInteger(stem.AsSpan(point + 1), out long process) && process is > 0 and <= int.MaxValue
            && !IsRunning((int)process);
    }

    private static bool IsRunning(int id)
    {
        try
        {
            using Process process = Process.GetProcessById(id);
            return true;
        }
        catch (ArgumentException)
        {
            return false;
        }
    }
}
