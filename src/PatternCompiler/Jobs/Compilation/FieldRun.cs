using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Runs something for one write field after the other: errors name the field, and notes of many fields are told once.</summary>
internal sealed class FieldRun
{
    private readonly FieldMessages messages = new();

    /// <summary>Starts the run over the fields of a plan.</summary>
    public FieldRun(FieldPlan plan, IReadOnlyList<ExposureWatcher> watchers)
    {
        foreach (ExposureWatcher watcher in watchers)
        {
            watcher.See(plan);
        }
    }

    /// <summary>Runs one field.</summary>
    public void Run(WriteField field, Action<DiagnosticSink> run, DiagnosticSink sink)
    {
        try
        {
            run(messages.SinkOf(field));
        }
        catch (CompileException fault)
        {
            messages.ReportTo(sink);
            throw FieldMessages.In(field, fault);
        }
    }

    /// <summary>Reports what came up in the fields.</summary>
    public void ReportTo(DiagnosticSink sink) => messages.ReportTo(sink);
}
