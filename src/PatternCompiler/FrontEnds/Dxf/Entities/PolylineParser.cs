using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// POLYLINE with the VERTEX entities that follow it up to SEQEND. The pairs of the vertices arrive through
/// <see cref="BeginVertex"/>, <see cref="TakeVertex"/> and <see cref="EndVertex"/>.
/// </summary>
internal sealed class PolylineParser : EntityParser
{
    private const int ClosedFlag = 1;
    private const int MeshFlags = 16 | 64;
    private const int SplineFrameFlag = 16;

    private readonly PolylineAssembly polyline = new();
    private int flags;
    private double defaultStartWidth;
    private double defaultEndWidth;
    private double x;
    private double y;
    private double bulge;
    private double startWidth;
    private double endWidth;
    private int vertexFlags;

    public override void Begin()
    {
        polyline.Clear();
        (flags, defaultStartWidth, defaultEndWidth) = (0, 0, 0);
    }

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 40:
                defaultStartWidth = tag.Real();
                break;
            case 41:
                defaultEndWidth = tag.Real();
                break;
            case 70:
                flags = (int)tag.Integer();
                break;
        }
    }

    /// <summary>Starts a corner.</summary>
    public void BeginVertex() =>
        (x, y, bulge, startWidth, endWidth, vertexFlags) = (0, 0, 0, defaultStartWidth, defaultEndWidth, 0);

    /// <summary>Takes a pair of the corner.</summary>
    public void TakeVertex(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 10:
                x = tag.Real();
                break;
            case 20:
                y = tag.Real();
                break;
            case 40:
                startWidth = tag.Real();
                break;
            case 41:
                endWidth = tag.Real();
                break;
            case 42:
                bulge = tag.Real();
                break;
            case 70:
                vertexFlags = (int)tag.Integer();
                break;
        }
    }

    /// <summary>Ends the corner. The control points of a fitted spline are not on the curve and are passed over.</summary>
    public void EndVertex()
    {
        if ((vertexFlags & SplineFrameFlag) == 0)
        {
            polyline.Add(new(x, y, bulge), startWidth, endWidth);
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        if ((flags & MeshFlags) != 0)
        {
            ignoredBecause = "a mesh";
            return null;
        }

        return polyline.ToEntity(header, (flags & ClosedFlag) != 0, out ignoredBecause);
    }
}
