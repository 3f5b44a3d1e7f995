using System.Globalization;
using System.Text;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Runs;

/// <summary>Tells of runs in words.</summary>
internal static class RunText
{
    private const int LongestCell = 40;

    /// <summary>A line for each run.</summary>
    public static string Table(IEnumerable<LoggedRun> runs)
    {
        List<string[]> rows = [["run", "begun (UTC)", "lasted", "stream", "machine", "records", "outcome", "notes"]];
        rows.AddRange(runs.Select(run => (string[])
        [
            run.First.Run,
            Time(run.First.Time),
            Lasted(run),
            Short(run.First.Stream),
            Short(run.First.Machine),
            run.Records is long all ? string.Create(CultureInfo.InvariantCulture, $"{run.Written} of {all}") : run.Written.ToString(CultureInfo.InvariantCulture),
            LoggedRun.Outcomes.WordOf(run.Outcome),
            string.Join("; ", run.Notes.Select(note => $"{Short(note.Key)}={Short(note.Value)}")),
        ]));
        var text = new StringBuilder();
        AlignedTable.Append(rows, text);
        return text.ToString();
    }

    /// <summary>All of one run.</summary>
    public static string Details(LoggedRun run)
    {
        List<string[]> rows =
        [
            ["run", run.First.Run],
            ["begun", $"{Time(run.First.Time)} UTC"],
            ["lasted", Lasted(run)],
            ["outcome", $"{LoggedRun.Outcomes.WordOf(run.Outcome)}{(run.Last is { Event: RunEvent.Failed, Text: string why } ? $": {PrintedText.Of(why)}" : "")}"],
            ["records", run.Records is long all ? string.Create(CultureInfo.InvariantCulture, $"{run.Written} of {all}") : run.Written.ToString(CultureInfo.InvariantCulture)],
            ["parts", run.Parts.ToString(CultureInfo.InvariantCulture)],
            ["faults of the link", run.Faults.ToString(CultureInfo.InvariantCulture)],
        ];
        foreach ((int number, LoggedStep step) in run.Steps)
        {
            string records = step.Records == 0 ? "not begun" : FormattableString.Invariant($"{step.Written} of {step.Records} records, {LoggedRun.Outcomes.WordOf(step.Outcome ?? RunOutcome.Open)}");
            string answers = string.Join(", ", step.Answers.Select(answer => $"{answer.Key} {answer.Value}"));
            Add(FormattableString.Invariant($"step {number} of {run.StepCount}"), $"{step.Name}: {records}{(answers.Length == 0 ? "" : $" ({answers})")}");
        }

        Add("stream", run.First.Stream);
        Add("SHA-256", run.First.Sha256);
        Add("machine", run.First.Machine);
        Add("machine settings", run.First.MachineSettings);
        Add("exposure settings", run.First.ExposureSettings);
        Add("link", run.First.Link);
        Add("version", run.First.Version);
        Add("job", run.Job);
        foreach ((string key, string value) in run.Notes)
        {
            Add($"note {key}", value);
        }

        if (run.Provenance is JsonElement provenance && provenance.TryGetProperty("inputs", out JsonElement inputs))
        {
            foreach (JsonElement input in inputs.EnumerateArray())
            {
                Add("made from", $"{input.GetProperty("name").GetString()} {input.GetProperty("sha256").GetString()}");
            }
        }

        var text = new StringBuilder();
        AlignedTable.Append(rows, text);
        return text.ToString();

        void Add(string name, string? value)
        {
            if (value is not null)
            {
                rows.Add([PrintedText.Of(name), PrintedText.Of(value)]);
            }
        }
    }

    private static string Time(DateTime time) => time.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture);

    private static string Lasted(LoggedRun run) => QuantityText.Format(Math.Max(0, (run.Last.Time - run.First.Time).TotalSeconds), Dimension.Time, 3);

    private static string Short(string? text) => text is null ? "" : PrintedText.Of(PrintedText.Cut(text, LongestCell));
}
