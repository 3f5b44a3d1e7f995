using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>LINE: two points in world coordinates, whatever the extrusion.</summary>
internal sealed class LineParser : EntityParser
{
    private double x1;
    private double y1;
    private double x2;
    private double y2;
    private int seen;

    public override void Begin() => (x1, y1, x2, y2, seen) = (0, 0, 0, 0, 0);

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 10:
                x1 = tag.Real();
                seen |= 1;
                break;
            case 20:
                y1 = tag.Real();
                seen |= 2;
                break;
            case 11:
                x2 = tag.Real();
                seen |= 4;
                break;
            case 21:
                y2 = tag.Real();
                seen |= 8;
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        return seen == 15
            ? new OutlineEntity(header.Origin, new BulgeCurve([new(x1, y1, 0), new(x2, y2, 0)], closed: false), 0)
            : throw Bad(header, file, "a line needs both end points (group codes 10, 20, 11, 21)");
    }
}
