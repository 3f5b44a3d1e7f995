namespace PatternCompiler.Passes.Order;

/// <summary>The smallest upright rectangle around both ends of some items.</summary>
internal readonly record struct TravelBox(double Left, double Bottom, double Right, double Top)
{
    public double Width => Right - Left;

    public double Height => Top - Bottom;

    public double CentreX => (Left + Right) / 2;

    public double CentreY => (Bottom + Top) / 2;

    /// <summary>The box around one item.</summary>
    public static TravelBox Of(in TravelItem item) => new(
        Math.Min(item.EntryX, item.ExitX), Math.Min(item.EntryY, item.ExitY), Math.Max(item.EntryX, item.ExitX), Math.Max(item.EntryY, item.ExitY));

    /// <summary>The box around items, of which there is one at least.</summary>
    public static TravelBox Of(ReadOnlySpan<TravelItem> items)
    {
        TravelBox box = Of(items[0]);
        foreach (ref readonly TravelItem item in items)
        {
            box = box.With(Of(item));
        }

        return box;
    }

    /// <summary>The box around both.</summary>
    public TravelBox With(in TravelBox other) =>
        new(Math.Min(Left, other.Left), Math.Min(Bottom, other.Bottom), Math.Max(Right, other.Right), Math.Max(Top, other.Top));

    /// <summary>How far a place is from the box; 0 inside.</summary>
    public double DistanceTo(double x, double y)
    {
        double dx = Math.Max(0, Math.Max(Left - x, x - Right));
        double dy = Math.Max(0, Math.Max(Bottom - y, y - Top));
        return Math.Sqrt(dx * dx + dy * dy);
    }

    /// <summary>How far two boxes are from each other; 0 if they touch.</summary>
    public double DistanceTo(in TravelBox other)
    {
        double dx = Math.Max(0, Math.Max(Left - other.Right, other.Left - Right));
        double dy = Math.Max(0, Math.Max(Bottom - other.Top, other.Bottom - Top));
        return Math.Sqrt(dx * dx + dy * dy);
    }
}
