using System.Collections.Immutable;

namespace PatternCompiler.Cli.Manual;

/// <summary>What a command's exit code tells.</summary>
/// <param name="Code">The code.</param>
/// <param name="Meaning">What it tells.</param>
internal readonly record struct ExitCodeMeaning(int Code, string Meaning)
{
    /// <summary>The codes of nearly every command.</summary>
    public static ImmutableArray<ExitCodeMeaning> Usual { get; } =
    [
        new(ExitCode.Done, "done"),
        new(ExitCode.InputWrong, "the input is wrong: one message says where, what was expected and how to fix it"),
        new(ExitCode.UsageWrong, "the command line is wrong"),
        new(ExitCode.Violation, "a check or prediction found a violation, or --strict forbids what would be lost"),
        new(ExitCode.InputOutput, "a file or stream cannot be read or written"),
        new(ExitCode.Defect, "a defect of this program"),
        new(ExitCode.Interrupted, "interrupted"),
    ];
}
