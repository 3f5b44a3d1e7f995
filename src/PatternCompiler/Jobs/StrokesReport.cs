using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Jobs;

/// <summary>What came of filling.</summary>
/// <param name="Fill">What filling decided.</param>
/// <param name="IfStraight">What straight jumps in the order asked for would print, if jumps are led around; otherwise null.</param>
internal sealed record StrokesReport(FillReport Fill, StrayReport? IfStraight)
{
    /// <summary>Nothing was filled.</summary>
    public static StrokesReport Empty { get; } = new(FillReport.Empty, null);

    /// <summary>Together with what came of filling another field.</summary>
    public StrokesReport With(StrokesReport other) => new(
        FieldFill.Join(Fill, other.Fill),
        IfStraight is null || other.IfStraight is null ? IfStraight ?? other.IfStraight : IfStraight.With(other.IfStraight));
}
