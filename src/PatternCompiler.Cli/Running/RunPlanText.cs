using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Runs.Steps;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Running;

/// <summary>The steps and questions of a run as a file of answers that is to be filled in.</summary>
internal static class RunPlanText
{
    /// <summary>Writes it.</summary>
    public static string Of(BuildSettings settings, ImmutableArray<RunStep> steps, ExposureEstimate estimate, IReadOnlyList<RunQuestion> questions)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"# run of job '{PrintedText.Of(settings.Job.Name)}' on machine '{PrintedText.Of(settings.Machine.Name)}': {CountText.Of(steps.Length, "step", "steps")}, {QuantityText.Format(estimate.TotalSeconds, Dimension.Time)} for the pattern once\n");
        for (int i = 0; i < steps.Length; i++)
        {
            RunStep step = steps[i];
            text.Append(CultureInfo.InvariantCulture, $"# step {i + 1}: {PrintedText.Of(step.Name)}, {CountText.Of(step.Figures.Figures.Count, "figure", "figures")}");
            text.Append(step.DoseFactor == 1 ? "" : $", dose times {NumberText.Format(step.DoseFactor)}").Append('\n');
        }

        text.Append("# Questions with their answers; 'any/question: answer' answers it for every step.\n");
        foreach (RunQuestion question in questions)
        {
            text.Append(CultureInfo.InvariantCulture, $"# {PrintedText.Of(question.Text)}?\n# {Key(question.Key)}: {Example(question, settings)}\n");
        }

        return text.ToString();
    }

    private static string Example(RunQuestion question, BuildSettings settings) => question.Kind switch
    {
        RunAnswerKind.Yes => "yes",
        RunAnswerKind.Current when question.Name == RunChecklist.Blanked => "0 pA",
        RunAnswerKind.Current => QuantityText.Format(settings.Machine.Beam.CurrentAmperes, Dimension.Current, 4),
        _ => "...",
    };

    // Names of layers and checks may hold anything.
    private static string Key(string key) => key.All(letter => char.IsAsciiLetterOrDigit(letter) || letter is ' ' or '/' or '-' or '_' or '.') ? key : $"'{PrintedText.Of(key).Replace("'", "''", StringComparison.Ordinal)}'";
}
