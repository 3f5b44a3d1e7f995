using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>How a layout is written as a drawing.</summary>
internal sealed record DrawingWriteOptions
{
    /// <summary>Everything at its default.</summary>
    public static DrawingWriteOptions Default { get; } = new();

    /// <summary>How far a chord may stray from the curve it stands for, in nanometres, where the format has no curves.</summary>
    public double ChordErrorNanometres { get; init; } = 1;

    /// <summary>How much work the shapes may ask for.</summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;

    internal FlattenOptions Flattening => new() { ChordErrorNanometres = ChordErrorNanometres, Limits = Limits };
}
