using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>SPLINE: control points with knots and weights, or points to pass through; in world coordinates.</summary>
internal sealed class SplineParser : EntityParser
{
    private readonly SplineParts parts = new();
    private double tangentX;

    public override void Begin() => parts.Clear();

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 71:
                parts.Degree = (int)Math.Clamp(tag.Integer(), -1, int.MaxValue);
                break;
            case 40:
                parts.AddKnot(tag.Real());
                break;
            case 41:
                parts.AddWeight(tag.Real());
                break;
            case 10:
                parts.AddControlX(tag.Real());
                break;
            case 20:
                parts.SetControlY(tag.Real());
                break;
            case 11:
                parts.AddFitX(tag.Real());
                break;
            case 21:
                parts.SetFitY(tag.Real());
                break;
            case 12 or 13:
                tangentX = tag.Real();
                break;
            case 22:
                parts.StartTangent = new(tangentX, tag.Real());
                break;
            case 23:
                parts.EndTangent = new(tangentX, tag.Real());
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        return parts.ToCurve(out string fault) is { } curve
            ? new OutlineEntity(header.Origin, curve, 0)
            : throw Bad(header, file, fault);
    }
}
