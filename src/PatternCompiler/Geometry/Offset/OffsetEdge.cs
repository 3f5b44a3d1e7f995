using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.Geometry.Offset;

/// <summary>An edge of an outline and where it moves.</summary>
internal struct OffsetEdge
{
    /// <summary>Unit vector along the edge.</summary>
    public PlanePoint Direction;

    /// <summary>From the edge to the moved edge: the distance to the right.</summary>
    public PlanePoint Shift;

    public double Length;

    /// <summary>How much of the moved edge falls away at its ends where the next one cuts it off.</summary>
    public double StartTrim;

    /// <inheritdoc cref="StartTrim"/>
    public double EndTrim;

    /// <summary>At this end the curve goes back to the corner rather than to where the moved edges meet.</summary>
    public bool StartsFull;

    /// <inheritdoc cref="StartsFull"/>
    public bool EndsFull;

    /// <summary>Length between the points where the moved edge meets its neighbours.</summary>
    public readonly double MovedLength => Length - StartTrim - EndTrim;

    public static OffsetEdge Between(GridPoint from, GridPoint to, double distance)
    {
        double dx = (double)to.X - from.X, dy = (double)to.Y - from.Y;

        // Exact along the axes, where a square root of a large square could be off by a bit.
        double length = dy == 0 ? Math.Abs(dx) : dx == 0 ? Math.Abs(dy) : Math.Sqrt((dx * dx) + (dy * dy));
        var direction = new PlanePoint(dx / length, dy / length);
        return new OffsetEdge
        {
            Direction = direction,
            Shift = new PlanePoint(distance * direction.Y, -distance * direction.X),
            Length = length,
        };
    }

    /// <summary>Sine of the turn to the next edge, positive to the left.</summary>
    public readonly double Cross(in OffsetEdge next) => (Direction.X * next.Direction.Y) - (Direction.Y * next.Direction.X);

    /// <summary>Cosine of the turn to the next edge.</summary>
    public readonly double Dot(in OffsetEdge next) => (Direction.X * next.Direction.X) + (Direction.Y * next.Direction.Y);
}
