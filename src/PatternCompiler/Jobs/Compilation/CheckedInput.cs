using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// Passes a document that somebody hands in on, once it is checked: what would be a defect of the program in a document that
/// it made itself is a fault of the input here.
/// </summary>
/// <param name="name">Name of the document for messages.</param>
/// <param name="checker">Throws at the first item that breaks the document's rules.</param>
/// <param name="next">Takes what is checked; null for nobody.</param>
internal sealed class CheckedInput<THeader, TItem>(string name, IDocumentSink<THeader, TItem> checker, IDocumentSink<THeader, TItem>? next) : IDocumentSink<THeader, TItem>
    where TItem : struct
{
    /// <inheritdoc/>
    public void Begin(THeader header)
    {
        checker.Begin(header);
        next?.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<TItem> items)
    {
        try
        {
            checker.Write(items);
        }
        catch (CompileException fault) when (fault.Diagnostic.Code.Kind == DiagnosticKind.Defect)
        {
            throw new CompileException(
                new Diagnostic(
                    DocumentCodes.BreaksRules,
                    Severity.Error,
                    fault.Diagnostic.Message,
                    fault.Diagnostic.Place with { File = name },
                    "make the document again with the stage before this one"),
                fault);
        }

        next?.Write(items);
    }

    /// <inheritdoc/>
    public void End()
    {
        checker.End();
        next?.End();
    }
}
