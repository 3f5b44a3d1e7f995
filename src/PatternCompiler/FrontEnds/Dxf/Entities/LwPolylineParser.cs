using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>LWPOLYLINE: all corners in one entity.</summary>
internal sealed class LwPolylineParser : EntityParser
{
    private readonly PolylineAssembly polyline = new();
    private bool closed;
    private double constantWidth;
    private bool hasCorner;
    private bool hasY;
    private double x;
    private double y;
    private double bulge;
    private double startWidth;
    private double endWidth;

    public override void Begin()
    {
        polyline.Clear();
        closed = false;
        constantWidth = 0;
        hasCorner = false;
    }

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 10:
                EndCorner();
                x = tag.Real();
                (hasCorner, hasY, y, bulge, startWidth, endWidth) = (true, false, 0, 0, constantWidth, constantWidth);
                break;
            case 20:
                y = tag.Real();
                hasY = true;
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
            case 43:
                constantWidth = tag.Real();
                break;
            case 70:
                closed = (tag.Integer() & 1) != 0;
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        if (hasCorner && !hasY)
        {
            throw Bad(header, file, $"corner {polyline.Count + 1} has an x (group code 10) but no y (group code 20)");
        }

        EndCorner();
        return polyline.ToEntity(header, closed, out ignoredBecause);
    }

    private void EndCorner()
    {
        if (hasCorner && hasY)
        {
            polyline.Add(new(x, y, bulge), startWidth, endWidth);
        }
    }
}
