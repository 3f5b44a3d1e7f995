using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Units;

namespace PatternCompiler.Runs.Steps;

/// <summary>The questions of a run, from its settings.</summary>
internal static class RunChecklist
{
    /// <summary>Name of the question for the beam current.</summary>
    public const string Current = "current";

    /// <summary>Name of the question for what the blanker lets through.</summary>
    public const string Blanked = "blanked current";

    // A meter shows some of its own noise; common practice, no source.
    private const double LargestBlankedPart = 0.01;

    /// <summary>What is asked before anything is written.</summary>
    public static ImmutableArray<RunQuestion> Start(BuildSettings settings)
    {
        Machine machine = settings.Machine;
        Deflection deflection = machine.Deflection;
        string field = deflection.FieldWidthNanometres == deflection.FieldHeightNanometres
            ? $"{Length(deflection.FieldWidthNanometres)} wide"
            : $"{Length(deflection.FieldWidthNanometres)} by {Length(deflection.FieldHeightNanometres)}";
        List<RunQuestion> questions =
        [
            Ask("rules", "Are the interlocks of the microscope closed, and are the laboratory's rules for high voltage, X-rays and vacuum kept"),
            Ask("sample", $"Is the sample in, with the resist of process '{settings.Process.Name}', which is {(settings.Process.Response.Tone == ResistTone.Positive ? "positive" : "negative")}"),
            Ask("energy", $"Does the microscope stand at {NumberText.Format(machine.Beam.EnergyElectronvolts / 1000)} keV, as machine '{machine.Name}' says"),
            Ask("magnification", $"Does it stand at the magnification and working distance where the field is {field}"),
            Ask("scan", "Is the scan input on, and are both of its cables plugged in"),
        ];
        if (machine.Blanker.IsPresent)
        {
            questions.Add(Ask("polarity", $"Is the controller set to a blank line that turns the beam off when {(machine.Blanker.ActiveHigh ? "high" : "low")}"));
            questions.Add(new RunQuestion(RunQuestion.Start, Blanked, "Current on the sample with the beam blanked", RunAnswerKind.Current));
        }

        if (machine.ParkNanometres is (double x, double y))
        {
            questions.Add(Ask("park", $"Is nothing of worth under ({Micrometres(x)}, {Micrometres(y)}) um of the field, where the beam waits"));
        }
        else if (!machine.Blanker.IsPresent)
        {
            questions.Add(Ask("park", "There is no blanker: is nothing of worth in the lower left corner of the field, where the beam waits"));
        }

        questions.Add(new RunQuestion(RunQuestion.Start, Current, "Beam current on the sample", RunAnswerKind.Current));
        questions.AddRange(settings.Job.Run.Checks.Select(check => Ask(check, check.TrimEnd('?', '.'))));
        return [.. questions];
    }

    /// <summary>What is asked before a step.</summary>
    /// <param name="step">The step.</param>
    /// <param name="before">The step for which all was asked last, the stage and the focus among it; null where nothing was asked but the start: the current then has been asked for just now.</param>
    /// <param name="settings">Job and machine.</param>
    public static ImmutableArray<RunQuestion> Before(RunStep step, RunStep? before, BuildSettings settings)
    {
        var questions = new List<RunQuestion>();
        bool isFirst = before is null;

        // Groups of one field are written from one position of the stage: it is sent there once.
        bool isMoved = before is null || !ReferenceEquals(step.Position, before.Position);
        if (isMoved && step.Position.Field is not null)
        {
            string from = step.Position.Details.StartNanometres is (double x, double y) ? $", having come from ({Micrometres(x)}, {Micrometres(y)}) um" : "";
            questions.Add(Of(step, "stage", $"Does the stage show ({Micrometres(step.Position.StageXNanometres)}, {Micrometres(step.Position.StageYNanometres)}) um{from}", RunAnswerKind.Yes));
        }

        if (isMoved && step.Position.Details.FocusNanometres is double distance)
        {
            questions.Add(Of(step, "working distance", $"Is the focus set to a working distance of {QuantityText.Format(distance * 1e-9, Dimension.Length, 6)}", RunAnswerKind.Yes));
        }

        if (step.Focus is { } focus && (isMoved || focus != before?.Focus))
        {
            questions.Add(Of(step, "focus set", $"Is the focus set to {focus}", RunAnswerKind.Yes));
        }

        foreach (RunReading reading in settings.Job.Run.Readings.Where(reading => !(isFirst && reading == RunReading.Current)))
        {
            questions.Add(reading switch
            {
                RunReading.Current => Of(step, Current, "Beam current on the sample", RunAnswerKind.Current),
                RunReading.Focus => Of(step, "focus", "Focus that the microscope shows", RunAnswerKind.Text),
                _ => Of(step, "stage reading", "What the stage shows", RunAnswerKind.Text),
            });
        }

        if (questions.Count == 0 && !isFirst)
        {
            questions.Add(Of(step, "go on", $"Go on with {step.Name}", RunAnswerKind.Yes));
        }

        return [.. questions];
    }

    /// <summary>The questions of a run that is written in one go, in the order in which they are asked.</summary>
    public static ImmutableArray<RunQuestion> All(IReadOnlyList<RunStep> steps, BuildSettings settings) =>
        [.. Start(settings), .. steps.SelectMany((step, i) => Before(step, i == 0 ? null : steps[i - 1], settings))];

    /// <summary>These, and what is asked where a run is resumed amid a field.</summary>
    public static ImmutableArray<RunQuestion> WithResumed(IReadOnlyList<RunStep> steps, BuildSettings settings) =>
        [.. All(steps, settings).Concat(steps.SelectMany(step => Before(step, null, settings))).DistinctBy(question => (question.Step, question.Name))];

    /// <summary>Largest current that may reach the sample with the beam blanked, in ampere.</summary>
    public static double LargestBlanked(Machine machine) => (machine.Blanker.LeakFraction + LargestBlankedPart) * machine.Beam.CurrentAmperes;

    private static RunQuestion Ask(string name, string text) => new(RunQuestion.Start, name, text, RunAnswerKind.Yes);

    private static RunQuestion Of(RunStep step, string name, string text, RunAnswerKind kind) => new(step.Name, name, text, kind);

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, 4);

    private static string Micrometres(double nanometres) => (Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero) + 0.0).ToString("0.####", CultureInfo.InvariantCulture);
}
