using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Curves;

/// <summary>A polyline of straight lines and circular arcs.</summary>
internal sealed class BulgeCurve : DxfCurve
{
    // The arc of a smaller bulge strays from its chord by less than a thousandth of a grid step anywhere on the grid.
    private const double StraightBulge = 1e-12;

    private readonly BulgeVertex[] vertices;

    public BulgeCurve(BulgeVertex[] vertices, bool closed)
    {
        this.vertices = vertices;
        IsClosed = closed;
    }

    /// <inheritdoc/>
    public override bool IsClosed { get; }

    /// <inheritdoc/>
    public override DxfCurve Mirrored() => new BulgeCurve([.. vertices.Select(v => v.Mirrored())], IsClosed);

    /// <inheritdoc/>
    public override bool TryFlatten(List<PlanePoint> points, in Placement placement, double chordError)
    {
        for (int i = 0; i < vertices.Length; i++)
        {
            PlanePoint start = placement.Apply(vertices[i].Point);
            if (!start.FitsGrid)
            {
                return false;
            }

            points.Add(start);
            double bulge = vertices[i].Bulge;
            bool last = i + 1 == vertices.Length;
            if (Math.Abs(bulge) < StraightBulge || (last && !IsClosed))
            {
                continue;
            }

            PlanePoint end = placement.Apply(vertices[last ? 0 : i + 1].Point);
            double sagitta = Math.Abs(bulge) * (end - start).Length / 2;
            if (!end.FitsGrid || !(sagitta <= 2.0 * GridPoint.Limit))
            {
                return false;
            }

            ArcFlattening.AppendBulge(points, start, end, bulge, chordError);
        }

        return true;
    }
}
