using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// SOLID, TRACE and 3DFACE: an area with three or four corners. In SOLID and TRACE the third and fourth corner are crossed;
/// they lie in the entity's own plane. The corners of a 3DFACE follow the outline, in world coordinates.
/// </summary>
internal sealed class CornersParser : EntityParser
{
    private readonly bool crossed;
    private readonly double[] x = new double[4];
    private readonly double[] y = new double[4];
    private int seen;

    public CornersParser(bool crossed)
    {
        this.crossed = crossed;
    }

    public override void Begin() => seen = 0;

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case >= 10 and <= 13:
                x[tag.Code - 10] = tag.Real();
                seen |= 1 << (tag.Code - 10);
                break;
            case >= 20 and <= 23:
                y[tag.Code - 20] = tag.Real();
                seen |= 16 << (tag.Code - 20);
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        if ((seen & 0x77) != 0x77)
        {
            throw Bad(header, file, "three corners at least are needed (group codes 10 to 12 and 20 to 22)");
        }

        // A missing fourth corner is the third one again.
        (double lastX, double lastY) = (seen & 0x88) == 0x88 ? (x[3], y[3]) : (x[2], y[2]);
        BulgeVertex third = new(x[2], y[2], 0);
        BulgeVertex fourth = new(lastX, lastY, 0);
        var outline = new BulgeCurve(
            [new(x[0], y[0], 0), new(x[1], y[1], 0), crossed ? fourth : third, crossed ? third : fourth], closed: true);
        return new OutlineEntity(header.Origin, crossed && header.IsMirrored ? outline.Mirrored() : outline, 0);
    }
}
