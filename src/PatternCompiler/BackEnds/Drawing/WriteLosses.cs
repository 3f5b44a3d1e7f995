using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>Counts what a drawing format cannot hold, and reports it at the end.</summary>
internal sealed class WriteLosses(string format)
{
    private readonly List<string> renamed = [];
    private long dosed;
    private long cut;

    /// <summary>Notes the dose factor of a shape or instance.</summary>
    public void Dose(DoseFactor factor) => dosed += factor == DoseFactor.One ? 0 : 1;

    /// <summary>Notes the dose factors of an array.</summary>
    public void Dose(Instance instance) =>
        dosed += instance.DoseFactor != DoseFactor.One || instance.Repetition.ColumnDoseStepMillionths != 0 || instance.Repetition.RowDoseStepMillionths != 0 ? 1 : 0;

    /// <summary>Notes whether an area was cut.</summary>
    public void Cut(bool wasCut) => cut += wasCut ? 1 : 0;

    /// <summary>Notes a name that was changed.</summary>
    public void Renamed(string from, string to)
    {
        if (from != to)
        {
            renamed.Add($"{from} as {to}");
        }
    }

    /// <summary>Reports everything noted.</summary>
    public void Report(DiagnosticSink sink)
    {
        if (dosed > 0)
        {
            sink.Warn(DrawingWriteCodes.DoseLost, $"{CountText.Of(dosed, "shape or instance has", "shapes or instances have")} a dose factor, which {format} has no place for");
        }

        if (cut > 0)
        {
            sink.Note(DrawingWriteCodes.Cut, $"{CountText.Of(cut, "area with too many points is", "areas with too many points are")} cut into trapezoids");
        }

        if (renamed.Count > 0)
        {
            sink.Note(DrawingWriteCodes.Renamed, $"layers written under other names: {string.Join(", ", renamed)}");
        }
    }
}
