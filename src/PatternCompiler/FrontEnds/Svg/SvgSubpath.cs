using System.Runtime.InteropServices;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>A connected piece of an outline.</summary>
/// <param name="start">Where it starts, in user units.</param>
internal sealed class SvgSubpath(PlanePoint start)
{
    /// <summary>Where it starts.</summary>
    public PlanePoint Start => start;

    /// <summary>Its pieces in order.</summary>
    public List<SvgSegment> Segments { get; } = [];

    /// <summary>True if it ends with a line back to its start.</summary>
    public bool IsClosed { get; set; }

    /// <summary>Where the pieces so far end.</summary>
    public PlanePoint End => Segments.Count == 0 ? start : Segments[^1].End;

    /// <summary>Its points, mapped, curves as chords; the closing line is not included.</summary>
    public List<PlanePoint> Flatten(Affine map, double chordError)
    {
        var points = new List<PlanePoint> { map.Map(start) };
        PlanePoint from = start;
        foreach (SvgSegment segment in Segments)
        {
            segment.AppendTo(points, from, map, chordError);
            from = segment.End;
        }

        return points;
    }

    /// <summary>The middle line of its stroke, in user units; the closing line is included.</summary>
    public StrokeCourse Course(double chordError)
    {
        var course = new StrokeCourse(start);
        var chords = new List<PlanePoint>();
        PlanePoint from = start;
        foreach (SvgSegment segment in Segments)
        {
            if (segment.IsStraight)
            {
                course.LineTo(segment.End);
            }
            else
            {
                chords.Clear();
                segment.AppendTo(chords, from, Affine.Identity, chordError);
                (PlanePoint first, PlanePoint last) = segment.Tangents(from);
                course.CurveTo(CollectionsMarshal.AsSpan(chords), first, last);
            }

            from = segment.End;
        }

        if (IsClosed)
        {
            course.Close();
        }

        return course;
    }

    /// <summary>True if it is a polyline.</summary>
    public bool IsStraight => Segments.TrueForAll(segment => segment.IsStraight);

    /// <summary>True if everything that decides its course maps into the grid's range.</summary>
    public bool Fits(Affine map) => map.Map(start).FitsGrid && Segments.TrueForAll(segment => segment.Fits(map));
}
