namespace PatternCompiler.Prediction.Shapes;

/// <summary>A stretch of a row that lies in one printed and one drawn region.</summary>
internal readonly record struct RowStretch(double Left, double Right, Region Printed, Region Drawn);
