using PatternCompiler.Diagnostics.Catalogue;

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

    /// <summary>Ends a run in which nothing may be lost, if something was.</summary>
    /// <exception cref="CompileException">There is a loss among what was reported.</exception>
    public void RequireNothingLost()
    {
        string[] losses = [.. collected.Where(diagnostic => diagnostic.Code.Kind == DiagnosticKind.Loss).Select(diagnostic => diagnostic.Code.Id)];
        if (losses.Length > 0)
        {
            string codes = string.Join(", ", losses.Distinct().Order(StringComparer.Ordinal));
            throw new CompileException(
                CommandCodes.Lost,
                $"what is written would not be what is drawn: {losses.Length} {(losses.Length == 1 ? "warning" : "warnings")} of a loss ({codes}), which strictness forbids",
                fix: "fix the drawing, or leave out --strict ('strict: yes' in the job)");
        }
    }

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
