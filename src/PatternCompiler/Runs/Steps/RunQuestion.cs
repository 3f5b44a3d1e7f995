using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Runs.Steps;

/// <summary>What is asked of the operator.</summary>
/// <param name="Step">The step before which it is asked; "start" for the checklist.</param>
/// <param name="Name">What it is called in a file of answers: with the step and a slash before it, or with any for every step.</param>
/// <param name="Text">The question, without a mark.</param>
/// <param name="Kind">What is a good answer.</param>
internal sealed record RunQuestion(string Step, string Name, string Text, RunAnswerKind Kind)
{
    /// <summary>The step of the checklist.</summary>
    public const string Start = "start";

    /// <summary>Its name in a file of answers.</summary>
    public string Key => $"{Step}/{Name}";

    /// <summary>Why an answer is none to this question; null if it is one.</summary>
    public string? FaultOf(string answer) => Kind switch
    {
        RunAnswerKind.Yes => answer is "yes" or "no" ? null : "takes yes or no",
        RunAnswerKind.Current => Quantity.TryParse(answer, [Dimension.Current], out Quantity current, out _) && current.In(Unit.Ampere) >= 0 ? null : "takes a current such as 98 pA",
        _ => answer.Trim().Length > 0 ? null : "takes a text",
    };
}

/// <summary>What is a good answer.</summary>
internal enum RunAnswerKind
{
    /// <summary>Yes; no ends the run.</summary>
    Yes,

    /// <summary>A current.</summary>
    Current,

    /// <summary>Any text.</summary>
    Text,
}
