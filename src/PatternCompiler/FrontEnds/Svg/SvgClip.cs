using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>The viewports around a shape that cut it: parallelograms on the grid.</summary>
internal sealed class SvgClip
{
    private readonly ImmutableArray<GridPoint[]> frames;

    private SvgClip(ImmutableArray<GridPoint[]> frames)
    {
        this.frames = frames;
    }

    /// <summary>Cuts nothing.</summary>
    public static SvgClip None { get; } = new([]);

    /// <summary>True if it cuts nothing.</summary>
    public bool IsNone => frames.IsEmpty;

    /// <summary>This one and one more; null if its frame lies beyond the grid.</summary>
    /// <param name="map">From the frame's units to the grid.</param>
    /// <param name="x">Left of the frame.</param>
    /// <param name="y">Top of the frame.</param>
    /// <param name="width">Its width.</param>
    /// <param name="height">Its height.</param>
    public SvgClip? With(Affine map, double x, double y, double width, double height)
    {
        PlanePoint[] corners = [map.Map(new PlanePoint(x, y)), map.Map(new PlanePoint(x + width, y)), map.Map(new PlanePoint(x + width, y + height)), map.Map(new PlanePoint(x, y + height))];
        return Array.TrueForAll(corners, corner => corner.FitsGrid) ? new(frames.Add([.. corners.Select(corner => corner.ToGrid())])) : null;
    }

    /// <summary>True if it leaves an area as it is.</summary>
    public bool Contains(ReadOnlySpan<GridPoint> points)
    {
        foreach (GridPoint[] frame in frames)
        {
            bool isMirrored = ExactArea.Twice(frame) < 0;
            foreach (GridPoint point in points)
            {
                for (int i = 0; i < 4; i++)
                {
                    (GridPoint from, GridPoint to) = isMirrored ? (frame[(i + 1) % 4], frame[i]) : (frame[i], frame[(i + 1) % 4]);
                    if ((((Int128)to.X - from.X) * ((long)point.Y - from.Y)) - (((Int128)to.Y - from.Y) * ((long)point.X - from.X)) < 0)
                    {
                        return false;
                    }
                }
            }
        }

        return true;
    }

    /// <summary>What is left of an area, as outlines that do not overlap.</summary>
    public ContourSet Cut(ContourSet area, FillRule rule, WorkLimits limits, CancellationToken cancellation)
    {
        foreach (GridPoint[] frame in frames)
        {
            area = RegionBoolean.Compute(area, ContourSet.FromRing(frame), BooleanOperation.Intersection, rule, FillRule.NonZero, 1, limits, cancellation);
            rule = FillRule.NonZero;
        }

        return area;
    }
}
