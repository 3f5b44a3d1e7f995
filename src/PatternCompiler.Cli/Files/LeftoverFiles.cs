using System.Diagnostics;
using PatternCompiler.Files;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Files;

/// <summary>
/// Unfinished outputs that a killed run has left behind. Their names tell the computer and the process that wrote them; when
/// it no longer runs, nobody will finish them. Those of other computers, which may share the folder, are left alone.
/// </summary>
internal sealed class LeftoverFiles
{
    private const string Ending = ".partial";

    // Without points, so that the last one of a name stands before it.
    private static readonly string Writer = Environment.MachineName.Replace('.', '-') + "-";

    private readonly HashSet<string> cleaned = new(StringComparer.Ordinal);
    private readonly Lock gate = new();

    /// <summary>Name of the unfinished form of a file.</summary>
    public static string NameOf(string fileName) => $".{fileName}.{Writer}{Environment.ProcessId}{Ending}";

    /// <summary>Removes what dead processes have left in a folder; looks into each folder once.</summary>
    public void Clean(string folder)
    {
        lock (gate)
        {
            if (cleaned.Add(folder))
            {
                RemoveAbandoned(folder);
            }
        }
    }

    private static void RemoveAbandoned(string folder)
    {
        foreach (FolderEntry entry in FileSystem.List(folder))
        {
            if (entry is { IsFolder: false } && entry.Name.StartsWith('.') && entry.Name.EndsWith(Ending, StringComparison.Ordinal) && IsAbandoned(entry.Name))
            {
                try
                {
                    FileSystem.Delete(Path.Combine(folder, entry.Name));
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
        ReadOnlySpan<char> writer = stem.AsSpan(stem.LastIndexOf('.') + 1);
        return writer.StartsWith(Writer, StringComparison.Ordinal)
            && NumberText.TryParseInteger(writer[Writer.Length..], out long process) && process is > 0 and <= int.MaxValue
            && !IsRunning((int)process);
    }

    private static bool IsRunning(int id)
    {
        if (id == Environment.ProcessId)
        {
            // This process has made nothing here yet: it is of one that had the number before.
            return false;
        }

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
