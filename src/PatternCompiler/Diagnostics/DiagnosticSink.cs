namespace PatternCompiler.Diagnostics;

/// <summary>Takes the notes and warnings of a run, in order. Errors are thrown as <see cref="CompileException"/>.</summary>
public sealed class DiagnosticSink
{
    private readonly Action<Diagnostic>? observer;
    private readonly List<Diagnostic> collected = [];

    /// <summary>Collects, and also calls <paramref name="observer"/> at once for each diagnostic.</summary>
    public DiagnosticSink(Action<Diagnostic>? observer = null)
    {
        this.observer = observer;
    }

    /// <summary>Everything reported so far.</summary>
    public IReadOnlyList<Diagnostic> Collected => collected;

    /// <summary>Reports something worth knowing; a loss is reported as a warning.</summary>
    public void Note(DiagnosticCode code, string message, SourcePlace place = default, string? fix = null, long count = 0) =>
        Report(new Diagnostic(code, Severity.Note, message, place, fix) { Count = count });

    /// <summary>Reports a doubt about the output, or a loss.</summary>
    public void Warn(DiagnosticCode code, string message, SourcePlace place = default, string? fix = null, long count = 0) =>
        Report(new Diagnostic(code, Severity.Warning, message, place, fix) { Count = count });

    /// <summary>Reports what was noticed elsewhere.</summary>
    public void Report(Diagnostic diagnostic)
    {
        if (diagnostic.Code.Kind == DiagnosticKind.Loss && diagnostic.Severity == Severity.Note)
        {
            diagnostic = diagnostic with { Severity = Severity.Warning };
        }

        collected.Add(diagnostic);
        observer?.Invoke(diagnostic);
    }
}
