using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs;

/// <summary>Resolves the paths of a job file against its folder, and sees that no output overwrites another file of the job.</summary>
internal sealed class JobPaths
{
    private readonly List<string> read = [];
    private readonly List<(string Path, YamlNode Node, FileContent Content)> written = [];

    private readonly Func<string, string, string> textOf;

    /// <summary>Paths of a job.</summary>
    /// <param name="jobFile">The job file; null for text from elsewhere.</param>
    /// <param name="textOf">Reads a settings file that the job names, by its path and what it holds; null for the real one.</param>
    public JobPaths(string? jobFile, Func<string, string, string>? textOf = null)
    {
        this.textOf = textOf ?? SettingsText.Read;
        Folder = jobFile is null or "-" ? "" : Path.GetDirectoryName(jobFile) ?? "";
        if (jobFile is not null)
        {
            read.Add(jobFile);
        }
    }

    /// <summary>What paths are relative to; "" for the current folder.</summary>
    public string Folder { get; }

    /// <summary>A path that the job reads.</summary>
    public string Read(YamlNode node)
    {
        string path = Resolve(node);
        read.Add(path);
        return path;
    }

    /// <summary>The text of a settings file that the job names.</summary>
    /// <param name="path">Its path, as <see cref="Read"/> gives it.</param>
    /// <param name="role">What it holds, for messages.</param>
    public string TextOf(string path, string role) => textOf(path, role);

    /// <summary>A path that the job writes.</summary>
    /// <param name="node">The path as it is written.</param>
    /// <param name="content">What the file will hold; a name with the ending of something else is refused.</param>
    public string Write(YamlNode node, FileContent content)
    {
        string path = Resolve(node);
        written.Add((path, node, content));
        return path;
    }

    /// <summary>
    /// Throws if a written path is read or written a second time, however it is spelled and whatever links it leads through, or ends
    /// as the name of something else does.
    /// </summary>
    public void RefuseClashes()
    {
        if (OutputClash.Find(read, written.Select(output => output.Path)) is not { } clash)
        {
            RefuseEndings();
            return;
        }

        YamlNode node = written.Last(output => output.Path == clash.Output).Node;
        throw node.Error(
            JobCodes.OutputClash,
            clash.IsInput ? $"{node.Name} would overwrite '{node.AsText()}', which the job reads" : $"{node.Name} has the same path as another output, '{node.AsText()}'",
            "choose another name");
    }

    private void RefuseEndings()
    {
        foreach ((_, YamlNode node, FileContent content) in written)
        {
            if (content.FaultOf(node.AsText()) is { } fault)
            {
                throw node.Error(JobCodes.WrongEnding, fault, content.Endings is [{ } usual, ..] ? $"end the name in {usual}" : "choose another name");
            }
        }
    }

    private string Resolve(YamlNode node) => Path.Combine(Folder, node.AsText());
}
