using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>What turning entities into shapes needs to know about the drawing as a whole.</summary>
/// <param name="File">File name for messages.</param>
/// <param name="Options">The reader's options.</param>
/// <param name="Unit">What one drawing unit is.</param>
/// <param name="Layers">Layers of the layout.</param>
/// <param name="Ignored">Counts what is left out.</param>
/// <param name="Sink">Takes notes and warnings.</param>
internal sealed record LoweringContext(
    string File,
    DrawingOptions Options,
    DxfUnit Unit,
    LayerTable Layers,
    IgnoredEntities Ignored,
    DiagnosticSink Sink)
{
    /// <summary>Where shapes and placed blocks were drawn.</summary>
    public PlaceTable Places { get; } = new();

    /// <summary>Holds the corners of polygons.</summary>
    public RingStore Rings { get; } = new();

    /// <summary>Outlines that wind around something twice.</summary>
    public SelfCrossings Crossings { get; } = new(Options.Limits);

    /// <summary>A closed outline within another one, where nothing was said of what that means; null if none was found.</summary>
    public EntityOrigin? Nested { get; set; }

    /// <summary>Limits what arrays are written out to.</summary>
    public PlacementBudget Placements { get; } = new(Options.Limits);

    /// <summary>Counts the points of curves.</summary>
    public WorkMeter Vertices { get; } = Options.Limits.Meter(WorkKind.Vertices);

    /// <summary>Counts an entity that would be exposed if it could be, unless its layer is hidden or not asked for.</summary>
    public void Lose(in EntityOrigin origin, string reason)
    {
        if (Layers.HiddenBecause(origin.Layer) is { } hidden)
        {
            Ignored.Add(origin, hidden);
        }
        else if (Layers.IsSelected(origin.Layer))
        {
            Ignored.Lose(origin, reason);
        }
    }

    /// <summary>Where an entity was drawn, for the shapes that it becomes.</summary>
    public PlaceId PlaceOf(in EntityOrigin origin) =>
        Places.At(Places.NumberOf(new(File, origin.Type, null, origin.Layer, PlaceNumber.Handle)), origin.Line, origin.Handle);

    /// <summary>Grid steps to one drawing unit.</summary>
    public double StepsPerUnit => Unit.Picometres / Options.GridPicometres;

    /// <summary>Chord error in grid steps.</summary>
    public double ChordError => Options.ChordErrorNanometres * 1000 / Options.GridPicometres;

    /// <summary>Joining gap in whole grid steps.</summary>
    public int JoinGap => (int)Math.Min(int.MaxValue / 4, Math.Floor(Options.JoinGapNanometres * 1000 / Options.GridPicometres));
}
