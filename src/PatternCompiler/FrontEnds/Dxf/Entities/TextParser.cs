using System.Text;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Lettering;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>
/// TEXT and MTEXT, drawn as single strokes with the program's own letters: the drawing's font is not part of the file.
/// Height, width factor, rotation and alignment are kept; an MTEXT is not wrapped.
/// </summary>
internal sealed class TextParser : EntityParser
{
    private readonly bool isMultiline;
    private readonly StringBuilder text = new();
    private double x;
    private double y;
    private double alignX;
    private double alignY;
    private double height;
    private double stretch;
    private double rotation;
    private long horizontal;
    private long vertical;
    private bool hasAlignment;

    public TextParser(bool isMultiline)
    {
        this.isMultiline = isMultiline;
    }

    public override void Begin()
    {
        text.Clear();
        (x, y, alignX, alignY, height, stretch, rotation) = (0, 0, 0, 0, 0, 1, 0);
        (horizontal, vertical, hasAlignment) = (isMultiline ? 1 : 0, 0, false);
    }

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 1 or 3:
                text.Append(tag.Text());
                break;
            case 10:
                x = tag.Real();
                break;
            case 20:
                y = tag.Real();
                break;
            case 11:
                alignX = tag.Real();
                hasAlignment = true;
                break;
            case 21:
                alignY = tag.Real();
                break;
            case 40:
                height = tag.Real();
                break;
            case 41 when !isMultiline:
                stretch = tag.Real();
                break;
            case 50:
                rotation = tag.Real();
                break;
            case 71 when isMultiline:
            case 72 when !isMultiline:
                horizontal = tag.Integer();
                break;
            case 73 when !isMultiline:
                vertical = tag.Integer();
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        if (!(height > 0) || stretch == 0)
        {
            throw Bad(header, file, "a text needs a height and a width factor that are not zero (group codes 40, 41)");
        }

        string plain = isMultiline ? TextMarkup.Lines(text.ToString()) : TextMarkup.Plain(text.ToString());
        if (plain.Trim().Length == 0)
        {
            return null;
        }

        double unit = height / StrokeLettering.CapHeight;
        (double anchorX, double anchorY) = Anchor(plain);
        (double sin, double cos) = Direction();
        bool aligned = !isMultiline && hasAlignment && (horizontal != 0 || vertical != 0);
        (double originX, double originY) = aligned ? (alignX, alignY) : (x, y);
        double mirror = header.IsMirrored ? -1 : 1;
        PlanePoint[][] strokes =
        [
            .. StrokeLettering.Layout(plain).Select(stroke => stroke.Select(point =>
            {
                double along = (point.X - anchorX) * unit * stretch;
                double up = (point.Y - anchorY) * unit;
                return new PlanePoint(mirror * (originX + (cos * along) - (sin * up)), originY + (sin * along) + (cos * up));
            }).ToArray()),
        ];
        return new LetteringEntity(header.Origin, strokes);
    }

    private (double Sin, double Cos) Direction()
    {
        // An MTEXT may give its direction as a vector instead of an angle.
        if (isMultiline && hasAlignment && (alignX != 0 || alignY != 0))
        {
            double length = new PlanePoint(alignX, alignY).Length;
            return (alignY / length, alignX / length);
        }

        return Trigonometry.SinCosDegrees(rotation);
    }

    // The point of the text, in letter cells, that lies on the insertion or alignment point.
    private (double X, double Y) Anchor(string plain)
    {
        double width = StrokeLettering.MeasureWidth(plain);
        if (!isMultiline)
        {
            double left = horizontal switch { 1 or 4 => width / 2, 2 => width, _ => 0 };
            double bottom = (vertical, horizontal) switch
            {
                (1, _) => -StrokeLettering.Descent,
                (2, _) or (0, 4) => StrokeLettering.CapHeight / 2.0,
                (3, _) => StrokeLettering.CapHeight,
                _ => 0,
            };
            return (left, bottom);
        }

        // Attachment 1 to 9: top, middle, bottom row; left, centre, right in each.
        long attachment = Math.Clamp(horizontal, 1, 9) - 1;
        double lowest = -(double)StrokeLettering.LineSpacing * plain.Count(c => c == '\n');
        double anchorX = (attachment % 3) * width / 2;
        double anchorY = (attachment / 3) switch
        {
            0 => StrokeLettering.CapHeight,
            1 => (StrokeLettering.CapHeight + lowest) / 2,
            _ => lowest,
        };
        return (anchorX, anchorY);
    }
}
