using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Terminal;

/// <summary>One line about an exception that nobody foresaw. The stack trace is shown on request only.</summary>
internal static class DefectReport
{
    /// <summary>Set to 1 to see where a defect happened.</summary>
    private const string TraceVariable = "PATTERNC_TRACE";

    /// <summary>True if the user wants to see it.</summary>
    public static bool IsTraced => Environment.GetEnvironmentVariable(TraceVariable) == "1";

    public static Diagnostic From(Exception defect)
    {
        string message = $"{defect.GetType().Name}: {defect.Message.ReplaceLineEndings(" ")}";
        string fix = IsTraced
            ? "please report it with the command line, the input and this trace"
            : $"please report it with the command line, the input and what {TraceVariable}=1 shows";
        return new Diagnostic(CommandCodes.Defect, Severity.Error, message, Fix: fix);
    }
}
