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

    /// <summary>True if not all of its lines are straight.</summary>
    public bool HasArcs => Enumerable.Range(0, LineCount).Any(i => Math.Abs(vertices[i].Bulge) >= StraightBulge);

    private int LineCount => IsClosed ? vertices.Length : vertices.Length - 1;

    /// <summary>The curve in grid steps as the middle line of a track, with the directions of its arcs; it was found to fit the grid.</summary>
    public StrokeCourse Course(in Placement placement, double chordError)
    {
        var course = new StrokeCourse(placement.Apply(vertices[0].Point));
        var chords = new List<PlanePoint>();
        for (int i = 0; i < LineCount; i++)
        {
            PlanePoint start = placement.Apply(vertices[i].Point);
            PlanePoint end = placement.Apply(vertices[(i + 1) % vertices.Length].Point);
            double bulge = vertices[i].Bulge;
            if (Math.Abs(bulge) < StraightBulge)
            {
                course.LineTo(end);
                continue;
            }

            chords.Clear();
            ArcFlattening.AppendBulge(chords, start, end, bulge, chordError);
            chords.Add(end);
            course.CurveTo(System.Runtime.InteropServices.CollectionsMarshal.AsSpan(chords), Direction(start, end, bulge, -1), Direction(start, end, bulge, 1));
        }

        if (IsClosed)
        {
            course.Close();
        }

        return course;
    }

    // A bulge is the tangent of a quarter of the arc's angle; at its ends the arc runs half of the angle off the chord.
    private static PlanePoint Direction(PlanePoint start, PlanePoint end, double bulge, int side)
    {
        PlanePoint chord = end - start;
        double scale = 1 + (bulge * bulge);
        double cos = (1 - (bulge * bulge)) / scale;
        double sin = side * 2 * bulge / scale;
        return new((cos * chord.X) - (sin * chord.Y), (sin * chord.X) + (cos * chord.Y));
    }

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

/// <summary>A corner of a polyline.</summary>
/// <param name="X">Drawing units to the right.</param>
/// <param name="Y">Drawing units upward.</param>
/// <param name="Bulge">Tangent of a quarter of the angle of the arc to the next corner; 0 for a straight line.</param>
internal readonly record struct BulgeVertex(double X, double Y, double Bulge)
{
    /// <summary>The corner alone.</summary>
    public PlanePoint Point => new(X, Y);

    /// <summary>The corner with x reversed; an arc then turns the other way.</summary>
    public BulgeVertex Mirrored() => new(-X, Y, -Bulge);
}
