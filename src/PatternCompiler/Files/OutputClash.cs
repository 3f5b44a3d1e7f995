namespace PatternCompiler.Files;

/// <summary>Files that one run would destroy: an output in place of an input or of another output, however their names are written.</summary>
/// <param name="Output">The output.</param>
/// <param name="Other">The input or output that it would replace.</param>
/// <param name="IsInput">The other is an input.</param>
internal sealed record OutputClash(string Output, string Other, bool IsInput)
{
    /// <summary>The first clash, in the order of the outputs; null if there is none.</summary>
    /// <param name="inputs">Names of files that are read.</param>
    /// <param name="outputs">Names of files that are written; each name once for each time that it is.</param>
    public static OutputClash? Find(IEnumerable<string> inputs, IEnumerable<string> outputs)
    {
        Dictionary<string, string> read = new(StringComparer.Ordinal);
        foreach (string input in inputs)
        {
            if (Key(input) is { } key)
            {
                read.TryAdd(key, input);
            }
        }

        Dictionary<string, string> written = new(StringComparer.Ordinal);
        Dictionary<string, (string Name, string Key)> folded = new(StringComparer.OrdinalIgnoreCase);
        foreach (string output in outputs)
        {
            if (Key(output) is not { } key)
            {
                continue;
            }

            if (read.TryGetValue(key, out string? input))
            {
                return new OutputClash(output, input, IsInput: true);
            }

            if (!written.TryAdd(key, output))
            {
                return new OutputClash(output, written[key], IsInput: false);
            }

            // Neither is there yet, and whether capitals tell them apart is the folder's affair.
            if (!folded.TryAdd(key, (output, key)) && FileSystem.FoldsCase(Path.GetDirectoryName(FileSystem.FollowLinks(output))!))
            {
                return new OutputClash(output, folded[key].Name, IsInput: false);
            }
        }

        return null;
    }

    // Devices and pipes are not replaced, so two outputs may share one. What leads in circles is told when it is opened.
    private static string? Key(string name)
    {
        try
        {
            return FileSystem.Look(name) is { Kind: FileKind.Other or FileKind.Device } ? null : FileSystem.IdentityOf(name);
        }
        catch (Exception fault) when (fault is IOException or ArgumentException)
        {
            return null;
        }
    }
}
