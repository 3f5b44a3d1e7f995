namespace PatternCompiler.Prediction;

/// <summary>An upright rectangle on the sample, in nanometres.</summary>
internal readonly record struct SampleWindow(double Left, double Bottom, double Right, double Top)
{
    /// <summary>True if the place lies inside or on the border.</summary>
    public bool Contains(double x, double y) => x >= Left && x <= Right && y >= Bottom && y <= Top;

    /// <summary>Larger on every side.</summary>
    public SampleWindow Widened(double by) => new(Left - by, Bottom - by, Right + by, Top + by);

    /// <summary>True if the two share area or border.</summary>
    public bool Meets(SampleWindow other) => Left <= other.Right && other.Left <= Right && Bottom <= other.Top && other.Bottom <= Top;

    /// <summary>The smallest one around both.</summary>
    public SampleWindow With(SampleWindow other) =>
        new(Math.Min(Left, other.Left), Math.Min(Bottom, other.Bottom), Math.Max(Right, other.Right), Math.Max(Top, other.Top));
}
