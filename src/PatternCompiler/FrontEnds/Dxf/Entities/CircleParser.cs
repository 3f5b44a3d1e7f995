using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>CIRCLE and ARC: centre and radius in the entity's own plane; an arc runs counter-clockwise about the extrusion.</summary>
internal sealed class CircleParser : EntityParser
{
    private readonly bool isArc;
    private double x;
    private double y;
    private double radius;
    private double startDegrees;
    private double endDegrees;
    private int seen;

    public CircleParser(bool isArc)
    {
        this.isArc = isArc;
    }

    public override void Begin() => (x, y, radius, startDegrees, endDegrees, seen) = (0, 0, 0, 0, 0, 0);

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
            case 40:
                radius = tag.Real();
                seen |= 4;
                break;
            case 50:
                startDegrees = tag.Real();
                seen |= 8;
                break;
            case 51:
                endDegrees = tag.Real();
                seen |= 16;
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        int needed = isArc ? 31 : 7;
        if ((seen & needed) != needed)
        {
            throw Bad(header, file, isArc
                ? "an arc needs a centre, a radius and two angles (group codes 10, 20, 40, 50, 51)"
                : "a circle needs a centre and a radius (group codes 10, 20, 40)");
        }

        if (!(radius > 0))
        {
            throw Bad(header, file, $"the radius is {NumberText.Format(radius)}, it must be above zero", "delete it or give it a size");
        }

        if (!isArc)
        {
            return new CircleEntity(header.Origin, new(header.IsMirrored ? -x : x, y), radius);
        }

        EllipticArc arc = EllipticArc.Circular(new(x, y), radius, startDegrees, endDegrees);
        return new OutlineEntity(header.Origin, header.IsMirrored ? arc.Mirrored() : arc, 0);
    }
}
