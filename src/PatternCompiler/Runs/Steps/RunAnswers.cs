using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Runs.Steps;

/// <summary>A file of answers: 'step/question: answer' a line, or 'any/question: answer' for any step.</summary>
internal sealed class RunAnswers
{
    private const string AnyStep = "any/";

    private readonly Dictionary<string, YamlNode> answers;

    private RunAnswers(Dictionary<string, YamlNode> answers) => this.answers = answers;

    /// <summary>Reads a file.</summary>
    /// <param name="text">Its text.</param>
    /// <param name="file">Its name for messages.</param>
    /// <param name="questions">All questions of the run, of which each line must answer one.</param>
    /// <exception cref="CompileException">A line answers no question, or not as it must be answered.</exception>
    public static RunAnswers Parse(string text, string file, IReadOnlyList<RunQuestion> questions)
    {
        string[] keys = [.. questions.SelectMany(question => (string[])[question.Key, AnyStep + question.Name]).Distinct(StringComparer.Ordinal)];
        return YamlText.Read(text, file, root =>
        {
            var answers = new Dictionary<string, YamlNode>(StringComparer.Ordinal);
            foreach (YamlEntry entry in root.Any())
            {
                if (!keys.Contains(entry.Key, StringComparer.Ordinal))
                {
                    throw new CompileException(
                        RunCodes.WrongAnswer,
                        $"no question of this run is '{PrintedText.Cut(entry.Key, 80)}'",
                        new SourcePlace(file, entry.KeyLine, entry.KeyColumn),
                        NearestWord.Find(entry.Key, keys) is { } nearest ? $"is '{nearest}' meant?" : "'patternc run --dry-run' prints all questions");
                }

                RunQuestion asked = questions.First(question => question.Key == entry.Key || AnyStep + question.Name == entry.Key);
                if (asked.FaultOf(entry.Value.AsText()) is { } fault)
                {
                    throw entry.Value.Error(RunCodes.WrongAnswer, $"'{entry.Key}' {fault}, not '{PrintedText.Cut(entry.Value.AsText(), 80)}'");
                }

                answers[entry.Key] = entry.Value;
            }

            return new RunAnswers(answers);
        });
    }

    /// <summary>The answer to a question; null if the file has none.</summary>
    public string? To(RunQuestion question) =>
        (answers.GetValueOrDefault(question.Key) ?? answers.GetValueOrDefault(AnyStep + question.Name))?.AsText();
}
