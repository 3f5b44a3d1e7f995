using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;

namespace PatternCompiler.Jobs.Batch;

/// <summary>From the results of a batch to the index of its reports.</summary>
internal sealed class BatchIndex
{
    /// <summary>Name of the index in the folder of the reports.</summary>
    public const string FileName = "index.html";

    private readonly BatchPlan plan;
    private readonly IReadOnlyList<EntryResult> results;
    private readonly Dictionary<string, Machine> machines = new(StringComparer.Ordinal);
    private readonly Dictionary<string, Resist> processes = new(StringComparer.Ordinal);

    private BatchIndex(BatchPlan plan, IReadOnlyList<EntryResult> results)
    {
        this.plan = plan;
        this.results = results;
    }

    /// <summary>What the index shows.</summary>
    public static IndexContent Of(BatchPlan plan, IReadOnlyList<EntryResult> results, string toolVersion) =>
        new BatchIndex(plan, results).ToContent(toolVersion);

    private IndexContent ToContent(string toolVersion)
    {
        // Settings are read again, though those of jobs that were built are known: of a job that is up to date or failed they are not.
        BatchEntry[] entries = [.. results.Select(result => result.Entry)];
        var varying = new VaryingSettings(entries.Length);
        var readable = new int[entries.Length];
        int count = 0;
        for (int i = 0; i < entries.Length; i++)
        {
            List<NumericSetting>? settings = Read(entries[i]);
            readable[i] = settings is null ? -1 : count++;
            if (settings is not null)
            {
                varying.Add(settings);
            }
        }

        BatchEntry[] known = [.. entries.Where((_, i) => readable[i] >= 0)];
        (string Key, string Pattern, string[] Texts)[] words = [.. WordsOf(known).Where(word => word.Pattern.Contains('1', StringComparison.Ordinal))];
        NamedSetting[] axes =
        [
            .. varying.Find()
                .Select(setting => new NamedSetting(setting, Array.FindIndex(words, word => word.Pattern == setting.Pattern)))
                .OrderByDescending(named => named.Setting.Count)
                .ThenBy(named => named.Word < 0 ? int.MaxValue : named.Word),
        ];
        int[] others = [.. Enumerable.Range(0, words.Length).Where(i => !axes.Any(axis => axis.Word == i || axis.Setting.Pattern == words[i].Pattern))];
        return new IndexContent(plan.Name, toolVersion, [.. results.Select((result, i) => RowOf(result) with
        {
            Values = readable[i] < 0 ? [] : [.. axes.Select(axis => new IndexValue(axis.Setting.Numbers[readable[i]], axis.Word < 0 ? axis.Setting.Texts[readable[i]] : words[axis.Word].Texts[readable[i]]))],
            OtherWords = readable[i] < 0 ? [] : [.. others.Select(other => words[other].Texts[readable[i]])],
        })])
        {
            Axes = [.. axes.Select(axis => axis.Word < 0
                ? new IndexAxis(axis.Setting.Name, axis.Setting.Together)
                : new IndexAxis(words[axis.Word].Key, axis.Setting.Texts.SequenceEqual(words[axis.Word].Texts) ? axis.Setting.Together : axis.Setting.Together.Insert(0, axis.Setting.Name)))],
            Others = [.. others.Select(other => words[other].Key)],
        };
    }

    private List<NumericSetting>? Read(BatchEntry entry)
    {
        try
        {
            return NumericSettings.Of(entry.ReadSettings(ReadMachine, ReadProcess));
        }
        catch (CompileException)
        {
            // The result of its build says what is wrong with it.
            return null;
        }
    }

    /// <summary>The values that the batch file varies as it writes them, and the job files.</summary>
    private static IEnumerable<(string Key, string Pattern, string[] Texts)> WordsOf(BatchEntry[] entries)
    {
        int keys = entries.Length == 0 ? 0 : entries.Min(entry => entry.Values.Length);
        for (int key = 0; key < keys; key++)
        {
            VariedValue[] values = [.. entries.Select(entry => entry.Values[key])];
            yield return (
                NameOf(values[0].Key),
                VaryingSettings.PatternOf(values.Select(value => value.Text)),
                [.. values.Select(value => VariedSettings.IsFile(value) ? Path.GetFileNameWithoutExtension(value.Text) : ReportText.Typeset(value.Text))]);
        }

        yield return ("job", VaryingSettings.PatternOf(entries.Select(entry => entry.JobPath)), [.. entries.Select(entry => entry.JobPath)]);
    }

    private static string NameOf(string key) => key.StartsWith("parameters.", StringComparison.Ordinal) ? key["parameters.".Length..] : key.Replace('_', ' ');

    private Machine ReadMachine(string? path) => path is null ? DefaultFiles.Machine
        : machines.TryGetValue(path, out Machine? known) ? known
        : machines[path] = MachineFile.Read(path);

    private Resist ReadProcess(string? path) => path is null ? DefaultFiles.Process
        : processes.TryGetValue(path, out Resist? known) ? known
        : processes[path] = ProcessFile.Read(path);

    private static IndexRow RowOf(EntryResult result) => new(
        result.Entry.Name,
        result.Outcome == EntryOutcome.Failed ? null : Path.GetFileName(result.Entry.ReportPath),
        result.Outcome switch { EntryOutcome.Built => "built", EntryOutcome.UpToDate => "up to date", _ => "failed" },
        result.Outcome == EntryOutcome.Failed ? result.Diagnostics[^1] : null)
    {
        WriteSeconds = result.Figures?.WriteSeconds,
        ChargeCoulombs = result.Figures?.ChargeCoulombs,
        Records = result.Figures?.Records,
        Warnings = result.Figures?.Warnings,
        HasNewBytes = result.HasNewBytes,
        Reasons = result.Reasons,
        Print = result.Print,
    };

    /// <summary>A setting, and which of the batch file's own words stands for it; -1 for none.</summary>
    private sealed record NamedSetting(VaryingSetting Setting, int Word);
}
