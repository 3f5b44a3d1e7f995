using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Runs.Steps;

namespace PatternCompiler.Cli.Running;

/// <summary>Whoever answers the questions of a run: a file first, then the person at the terminal.</summary>
/// <param name="answers">The file; null if there is none.</param>
/// <param name="canAsk">There is a person at a terminal.</param>
/// <param name="context">Speaks to the person.</param>
internal sealed class RunOperator(RunAnswers? answers, bool canAsk, CommandContext context)
{
    private const int LongestQuote = 80;

    /// <summary>The answer, which is one to the question.</summary>
    /// <exception cref="CompileException">Nobody answers.</exception>
    public string Ask(RunQuestion question)
    {
        if (answers?.To(question) is { } known)
        {
            context.Messages.Say($"{question.Key}: {PrintedText.Of(known, LongestQuote)}");
            return known;
        }

        while (canAsk)
        {
            context.Cancellation.ThrowIfCancellationRequested();
            context.Messages.Ask($"{question.Key}: {PrintedText.Of(question.Text)}? ");
            string? answer = ReadLine()?.Trim();
            if (answer is null)
            {
                break;
            }

            if (question.FaultOf(answer) is not { } fault)
            {
                return answer;
            }

            context.Messages.Ask($"  {fault}\n");
        }

        throw NoAnswer(question);
    }

    // A read from a terminal cannot be given up, but waiting for it can.
    private string? ReadLine()
    {
        Task<string?> reading = Task.Run(Console.ReadLine);
        reading.Wait(context.Cancellation);
        return reading.Result;
    }

    private static CompileException NoAnswer(RunQuestion question) => new(
        RunCodes.NoAnswer,
        $"nobody answers '{question.Key}' ({question.Text}); the beam is off",
        fix: "answer at a terminal, or add the line to a file and name it with --answers");
}
