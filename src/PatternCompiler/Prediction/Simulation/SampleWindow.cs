namespace PatternCompiler.Prediction.Simulation;

/// <summary>An upright rectangle on the sample, in nanometres.</summary>
public readonly record struct SampleWindow(double Left, double Bottom, double Right, double Top)
{
    /// <summary>True if the place lies inside or on the border.</summary>
    public bool Contains(double x, double y) => x >= Left && x <= Right && y >= Bottom && y <= Top;

    /// <summary>Larger on every side.</summary>
    public SampleWindow Widened(double by) => new(Left - by, Bottom - by, Right + by, Top + by);
}
