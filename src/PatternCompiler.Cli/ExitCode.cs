using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli;

/// <summary>The numbers that <c>patternc</c> ends with. Scripts rely on them: none ever changes its meaning.</summary>
internal static class ExitCode
{
    /// <summary>Done.</summary>
    public const int Done = 0;

    /// <summary>The input is wrong; diagnostics say where and why.</summary>
    public const int InputWrong = 1;

    /// <summary>The command line is wrong.</summary>
    public const int UsageWrong = 2;

    /// <summary>A check or a prediction found a violation that was asked to count as an error.</summary>
    public const int Violation = 3;

    /// <summary>A file or stream cannot be read or written.</summary>
    public const int InputOutput = 4;

    /// <summary>A defect of the program itself.</summary>
    public const int Defect = 70;

    /// <summary>Stopped by Ctrl-C or a termination signal.</summary>
    public const int Interrupted = 130;

    /// <summary>The code for an error of a kind.</summary>
    public static int For(DiagnosticKind kind) => kind switch
    {
        DiagnosticKind.Input or DiagnosticKind.Doubt or DiagnosticKind.Remark => InputWrong,
        DiagnosticKind.Usage => UsageWrong,
        DiagnosticKind.Violation or DiagnosticKind.Loss => Violation,
        DiagnosticKind.InputOutput => InputOutput,
        _ => Defect,
    };
}
