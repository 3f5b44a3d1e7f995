using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Geometry;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// HATCH: an area bounded by loops in the entity's own plane. What the loops look like inside (solid, pattern lines) is left
/// aside: the area is exposed. The order of the pairs carries their meaning, so the parser keeps track of where it is.
/// </summary>
internal sealed class HatchParser : EntityParser
{
    private const int ExternalLoop = 1;
    private const int PolylineLoop = 2;
    private const int OutermostLoop = 16;

    private readonly List<(int Flags, DxfCurve[] Curves)> loops = [];
    private readonly List<DxfCurve> curves = [];
    private readonly HatchEdge edge = new();
    private readonly List<BulgeVertex> corners = [];
    private State state;
    private int loopFlags;
    private bool closed;
    private int style;
    private string? fault;

    private enum State
    {
        Preamble,
        Polyline,
        Edges,
        AfterLoop,
        AfterLoops,
    }

    public override void Begin()
    {
        loops.Clear();
        curves.Clear();
        corners.Clear();
        (state, style, fault) = (State.Preamble, 0, null);
    }

    public override void Take(DxfTagReader tag)
    {
        if (state == State.AfterLoops)
        {
            return;
        }

        switch (tag.Code)
        {
            case 92:
                EndLoop();
                loopFlags = (int)tag.Integer();
                state = (loopFlags & PolylineLoop) != 0 ? State.Polyline : State.Edges;
                closed = true;
                return;
            case 75:
                EndLoop();
                style = (int)tag.Integer();
                state = State.AfterLoops;
                return;
            case 97 when state is State.Polyline or State.Edges && !edge.WantsFitPoints:
                EndLoop();
                state = State.AfterLoop;
                return;
        }

        if (state == State.Polyline)
        {
            TakeCorner(tag);
        }
        else if (state == State.Edges)
        {
            TakeEdge(tag);
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        EndLoop();
        if (fault is not null)
        {
            throw Bad(header, file, fault);
        }

        ignoredBecause = loops.Count == 0 ? "without boundary" : null;
        if (loops.Count == 0)
        {
            return null;
        }

        // Style 0 alternates from loop to loop inward, 1 fills the outermost ring alone, 2 fills everything within.
        bool named = style == 1 && loops.Exists(l => (l.Flags & (ExternalLoop | OutermostLoop)) != 0);
        DxfCurve[][] used =
        [
            .. loops.Where(l => !named || (l.Flags & (ExternalLoop | OutermostLoop)) != 0)
                .Select(l => header.IsMirrored ? [.. l.Curves.Select(c => c.Mirrored())] : l.Curves),
        ];
        return new RegionEntity(header.Origin, used, style == 2 ? FillRule.NonZero : FillRule.EvenOdd);
    }

    private void TakeCorner(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 73:
                closed = tag.Integer() != 0;
                break;
            case 10:
                corners.Add(new(tag.Real(), 0, 0));
                break;
            case 20 when corners.Count > 0:
                corners[^1] = corners[^1] with { Y = tag.Real() };
                break;
            case 42 when corners.Count > 0:
                corners[^1] = corners[^1] with { Bulge = tag.Real() };
                break;
        }
    }

    private void TakeEdge(DxfTagReader tag)
    {
        if (tag.Code == 72)
        {
            EndEdge();
            edge.Begin((int)tag.Integer());
        }
        else
        {
            edge.Take(tag);
        }
    }

    private void EndEdge()
    {
        if (edge.IsOpen)
        {
            DxfCurve? curve = edge.End(out string problem);
            fault ??= curve is null ? $"edge {curves.Count + 1} of loop {loops.Count + 1}: {problem}" : null;
            if (curve is not null)
            {
                curves.Add(curve);
            }
        }
    }

    private void EndLoop()
    {
        EndEdge();
        if (corners.Count > 0)
        {
            curves.Add(new BulgeCurve([.. corners], closed));
            corners.Clear();
        }

        if (curves.Count > 0)
        {
            loops.Add((loopFlags, [.. curves]));
            curves.Clear();
        }
    }
}
