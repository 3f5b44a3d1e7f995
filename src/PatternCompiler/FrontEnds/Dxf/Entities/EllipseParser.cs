using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// ELLIPSE: centre and major half axis in world coordinates, the minor one by ratio, counter-clockwise about the extrusion
/// between two parameters in radians.
/// </summary>
internal sealed class EllipseParser : EntityParser
{
    private double x;
    private double y;
    private double majorX;
    private double majorY;
    private double ratio;
    private double start;
    private double end;
    private int seen;

    public override void Begin() => (x, y, majorX, majorY, ratio, start, end, seen) = (0, 0, 0, 0, 1, 0, 2 * Math.PI, 0);

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
            case 11:
                majorX = tag.Real();
                break;
            case 21:
                majorY = tag.Real();
                break;
            case 40:
                ratio = tag.Real();
                break;
            case 41:
                start = tag.Real();
                break;
            case 42:
                end = tag.Real();
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        if (seen != 3 || (majorX == 0 && majorY == 0) || !(Math.Abs(ratio) > 0))
        {
            throw Bad(header, file, "an ellipse needs a centre, a major axis and a ratio above zero (group codes 10, 20, 11, 21, 40)");
        }

        // About an extrusion from behind the minor axis lies on the other side.
        double side = header.IsMirrored ? -ratio : ratio;
        var arc = EllipticArc.Elliptic(new(x, y), new(majorX, majorY), side, start, end);
        return new OutlineEntity(header.Origin, arc, 0);
    }
}
