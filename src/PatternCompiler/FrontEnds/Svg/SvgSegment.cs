using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>One piece of an outline; it starts where the piece before it ended.</summary>
internal abstract record SvgSegment
{
    /// <summary>Where it ends, in user units.</summary>
    public abstract PlanePoint End { get; }

    /// <summary>True if every point that decides its course maps into the grid's range.</summary>
    public abstract bool Fits(Affine map);

    /// <summary>True if it has no direction but that from its start to its end.</summary>
    public virtual bool IsStraight => false;

    /// <summary>Its directions at its start and end, in user units and of any length; zero where it has none.</summary>
    public abstract (PlanePoint Start, PlanePoint End) Tangents(PlanePoint start);

    /// <summary>Appends the points after the start, mapped; curves as chords.</summary>
    /// <param name="points">Receives the points; its last one is the mapped start.</param>
    /// <param name="start">Where it starts, in user units.</param>
    /// <param name="map">From user units to where the points are wanted.</param>
    /// <param name="chordError">Largest distance allowed between curve and chord, after mapping.</param>
    public abstract void AppendTo(List<PlanePoint> points, PlanePoint start, Affine map, double chordError);
}
