using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>POINT: a position in world coordinates; becomes a dot.</summary>
internal sealed class PointParser : EntityParser
{
    private double x;
    private double y;
    private int seen;

    public override void Begin() => (x, y, seen) = (0, 0, 0);

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 10:
                x = tag.Real();
                seen |= 1;
                break;
            case 20:
                y = tag.Real();
                seen |= 2;
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        return seen == 3
            ? new DotEntity(header.Origin, new(x, y))
            : throw Bad(header, file, "a point needs a position (group codes 10, 20)");
    }
}
