using PatternCompiler.Checks;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>What came of the documents of one position of the stage.</summary>
/// <param name="Figures">Number of figures; 0 where the run starts after them.</param>
/// <param name="Strokes">Strokes and their charge; null where the run starts after them.</param>
/// <param name="Records">Records and their ticks, as they are written.</param>
/// <param name="Filled">What filling decided; empty where the run starts after it.</param>
/// <param name="Charge">Charge that figures ask for and get; null where the run starts after strokes.</param>
internal sealed record ExposedPart(int Figures, StrokeTotals? Strokes, ExposureTotals Records, StrokesReport Filled, FigureChargeEstimate? Charge);
