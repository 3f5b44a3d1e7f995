namespace PatternCompiler.Diagnostics;

/// <summary>
/// Ends the current operation with one error for the user. The only exception that the library throws on purpose:
/// whatever else comes out is a defect of the program.
/// </summary>
public sealed class CompileException : Exception
{
    /// <summary>Wraps an error diagnostic.</summary>
    public CompileException(Diagnostic diagnostic, Exception? cause = null)
        : base(diagnostic.ToString(), cause)
    {
        Diagnostic = diagnostic;
    }

    /// <summary>Shorthand for the usual case.</summary>
    public CompileException(DiagnosticCode code, string message, SourcePlace place = default, string? fix = null, string? sourceLine = null)
        : this(new Diagnostic(code, Severity.Error, message, place, fix, sourceLine))
    {
    }

    /// <summary>The error.</summary>
    public Diagnostic Diagnostic { get; }
}
