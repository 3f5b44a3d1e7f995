using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs.Batch;

/// <summary>
/// Reads a batch file: job files, values to vary, and the folder that each combination goes to.
/// <code>
/// batch: dose and pitch
/// jobs: [job.yaml, chips/*.yaml]
/// vary:                                # every combination is built
///   dose: [200 uC/cm2, 250 uC/cm2]
///   machine: [machine-12bit.yaml, machine-16bit.yaml]
///   parameters: {pitch: [2 um, 3 um]}  # of text layouts
/// folder: out/{job}/{values}           # {job}, {values}, or the name of a varied value
/// </code>
/// </summary>
internal static class BatchFile
{
    private const int MostEntries = 100_000;
    private const string Parameters = "parameters";
    private const string DefaultFolder = "out/{job}/{values}";

    /// <summary>Reads a batch file from disk and looks up its job files.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong, or a pattern matches nothing.</exception>
    public static BatchPlan Read(string path) => Parse(SettingsText.Read(path, "batch"), path);

    /// <summary>Reads the text of a batch file and looks up its job files.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages; its folder is the base of relative paths.</param>
    public static BatchPlan Parse(string yaml, string? file) => YamlText.Read(yaml, file, root => ReadPlan(root, file, FilePattern.Expand));

    /// <summary>Reads the top of a batch file.</summary>
    /// <param name="root">The top.</param>
    /// <param name="file">File name for messages; its folder is the base of relative paths.</param>
    /// <param name="find">Finds the files that match a pattern in a folder.</param>
    internal static BatchPlan ReadPlan(YamlMapping root, string? file, Func<string, string, IReadOnlyList<string>> find)
    {
        var paths = new JobPaths(file);
        ImmutableArray<string> jobs = [.. root.Required("jobs").AsOneOrMore()
            .SelectMany(node => Expand(node, paths, find))
            .Distinct(StringComparer.Ordinal)];
        ImmutableArray<ImmutableArray<VariedValue>> axes = root.Optional("vary") is YamlNode vary ? ReadAxes(vary, paths) : [];
        long count = axes.Aggregate((long)jobs.Length, (product, axis) => Math.Min(long.MaxValue / MostEntries, product * axis.Length));
        if (count > MostEntries)
        {
            throw root.Error(BatchCodes.TooManyEntries, $"the batch has more than {MostEntries} combinations", "vary fewer values at once");
        }

        FolderTemplate? folder = root.Optional("folder") is YamlNode template ? new FolderTemplate(template, axes, paths.Folder)
            : axes.IsEmpty ? null
            : new FolderTemplate(DefaultFolder, paths.Folder);
        var entries = ImmutableArray.CreateBuilder<BatchEntry>((int)count);
        foreach (string job in jobs)
        {
            foreach (ImmutableArray<VariedValue> values in Combinations(axes))
            {
                string name = values.IsEmpty ? job : $"{job} with {string.Join(", ", values.Select(value => $"{value.Key} {value.Text}"))}";
                entries.Add(new BatchEntry(name, job, values, folder?.For(job, values)));
            }
        }

        return new BatchPlan(root.Required("batch").AsText(), file, entries.ToImmutable());
    }

    private static IReadOnlyList<string> Expand(YamlNode node, JobPaths paths, Func<string, string, IReadOnlyList<string>> find)
    {
        try
        {
            return find(node.AsText(), paths.Folder);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code == BatchCodes.NoMatch)
        {
            throw node.Error(BatchCodes.NoMatch, $"{node.Name}: {fault.Diagnostic.Message}", fault.Diagnostic.Fix);
        }
    }

    private static ImmutableArray<ImmutableArray<VariedValue>> ReadAxes(YamlNode node, JobPaths paths)
    {
        var axes = ImmutableArray.CreateBuilder<ImmutableArray<VariedValue>>();
        foreach (YamlEntry entry in node.AsMapping().Among([.. VariedSettings.Keys, Parameters]))
        {
            if (entry.Key == Parameters)
            {
                foreach (YamlEntry parameter in entry.Value.AsMapping().Any())
                {
                    axes.Add([.. parameter.Value.AsOneOrMore().Select(value => VariedSettings.ReadParameter(parameter.Key, value))]);
                }
            }
            else
            {
                axes.Add([.. entry.Value.AsOneOrMore().Select(value => VariedSettings.Read(entry.Key, value, paths))]);
            }
        }

        return axes.ToImmutable();
    }

    /// <summary>Every choice of one value per axis; the last axis changes fastest.</summary>
    private static IEnumerable<ImmutableArray<VariedValue>> Combinations(ImmutableArray<ImmutableArray<VariedValue>> axes)
    {
        IEnumerable<ImmutableArray<VariedValue>> combinations = [ImmutableArray<VariedValue>.Empty];
        foreach (ImmutableArray<VariedValue> axis in axes)
        {
            combinations = combinations.SelectMany(chosen => axis.Select(chosen.Add));
        }

        return combinations;
    }
}
