namespace PatternCompiler.Pictures;

/// <summary>An upright rectangle on the sample plane, in nanometres.</summary>
internal readonly record struct SceneExtent(double Left, double Bottom, double Right, double Top)
{
    /// <summary>The extent of nothing: growing it by a point gives that point.</summary>
    public static SceneExtent Empty => new(double.PositiveInfinity, double.PositiveInfinity, double.NegativeInfinity, double.NegativeInfinity);

    /// <summary>True if no point has been added.</summary>
    public bool IsEmpty => !(Left <= Right);

    /// <summary>Size along x.</summary>
    public double Width => Right - Left;

    /// <summary>Size along y.</summary>
    public double Height => Top - Bottom;

    /// <summary>The smallest extent that also holds the point.</summary>
    public SceneExtent With(double x, double y) =>
        new(Math.Min(Left, x), Math.Min(Bottom, y), Math.Max(Right, x), Math.Max(Top, y));

    /// <summary>True if the box between two corners (in any order) reaches into this extent.</summary>
    public bool Meets(double x0, double y0, double x1, double y1) =>
        Math.Max(x0, x1) >= Left && Math.Min(x0, x1) <= Right && Math.Max(y0, y1) >= Bottom && Math.Min(y0, y1) <= Top;
}
