using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs;

/// <summary>Resolves the paths of a job file against its folder, and sees that no output overwrites another file of the job.</summary>
internal sealed class JobPaths
{
    private readonly HashSet<string> read = new(StringComparer.Ordinal);
    private readonly List<(string Path, YamlNode Node)> written = [];

    public JobPaths(string? jobFile)
    {
        Folder = jobFile is null or "-" ? "" : Path.GetDirectoryName(jobFile) ?? "";
        if (jobFile is not null)
        {
            read.Add(Normalise(jobFile));
        }
    }

    /// <summary>What paths are relative to; "" for the current folder.</summary>
    public string Folder { get; }

    /// <summary>A path that the job reads.</summary>
    public string Read(YamlNode node)
    {
        string path = Resolve(node);
        read.Add(Normalise(path));
        return path;
    }

    /// <summary>A path that the job writes.</summary>
    public string Write(YamlNode node)
    {
        string path = Resolve(node);
        written.Add((Normalise(path), node));
        return path;
    }

    /// <summary>Throws if a written path is read or written a second time.</summary>
    public void RefuseClashes()
    {
        HashSet<string> seen = new(StringComparer.Ordinal);
        foreach ((string path, YamlNode node) in written)
        {
            if (read.Contains(path))
            {
                throw node.Error(JobCodes.OutputClash, $"{node.Name} would overwrite '{node.AsText()}', which the job reads", "choose another name");
            }

            if (!seen.Add(path))
            {
                throw node.Error(JobCodes.OutputClash, $"{node.Name} has the same path as another output, '{node.AsText()}'", "choose another name");
            }
        }
    }

    private string Resolve(YamlNode node) => Path.Combine(Folder, node.AsText());

    /// <summary>
    /// The path without "." and with ".." resolved, by its text alone: the library asks no disk, so links are not followed.
    /// </summary>
    private static string Normalise(string path)
    {
        List<string> parts = [];
        foreach (string part in path.Split(Path.DirectorySeparatorChar, Path.AltDirectorySeparatorChar))
        {
            if (part == ".." && parts.Count > 0 && parts[^1] is not ("" or ".."))
            {
                parts.RemoveAt(parts.Count - 1);
            }
            else if (part != "." && (part.Length > 0 || parts.Count == 0))
            {
                parts.Add(part);
            }
        }

        return string.Join('/', parts);
    }
}
