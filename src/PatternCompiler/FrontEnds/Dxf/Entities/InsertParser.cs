using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Geometry.Curves;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>INSERT: a block placed once or in an array of columns and rows along its own turned axes.</summary>
internal sealed class InsertParser : EntityParser
{
    private readonly NameTable names;
    private string? block;
    private double x;
    private double y;
    private double scaleX;
    private double scaleY;
    private double rotation;
    private long columns;
    private long rows;
    private double columnSpacing;
    private double rowSpacing;

    public InsertParser(NameTable names)
    {
        this.names = names;
    }

    /// <summary>Attributes follow, up to SEQEND.</summary>
    public bool HasAttributes { get; private set; }

    public override void Begin()
    {
        block = null;
        (x, y, scaleX, scaleY, rotation) = (0, 0, 1, 1, 0);
        (columns, rows, columnSpacing, rowSpacing) = (1, 1, 0, 0);
        HasAttributes = false;
    }

    public override void Take(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 2:
                block = names.Get(tag);
                break;
            case 10:
                x = tag.Real();
                break;
            case 20:
                y = tag.Real();
                break;
            case 41:
                scaleX = tag.Real();
                break;
            case 42:
                scaleY = tag.Real();
                break;
            case 44:
                columnSpacing = tag.Real();
                break;
            case 45:
                rowSpacing = tag.Real();
                break;
            case 50:
                rotation = tag.Real();
                break;
            case 66:
                HasAttributes = tag.Integer() != 0;
                break;
            case 70:
                columns = tag.Integer();
                break;
            case 71:
                rows = tag.Integer();
                break;
        }
    }

    public override DxfEntity? End(EntityHeader header, string file, out string? ignoredBecause)
    {
        ignoredBecause = null;
        if (string.IsNullOrEmpty(block))
        {
            throw Bad(header, file, "an insert needs the name of a block (group code 2)");
        }

        if (scaleX == 0 || scaleY == 0)
        {
            throw Bad(header, file, $"block {block} is placed with a scale of zero", "give it a scale or delete it");
        }

        // Zero columns or rows mean one, as in a plain insert.
        (columns, rows) = (Math.Max(1, columns), Math.Max(1, rows));
        if (columns > int.MaxValue || rows > int.MaxValue)
        {
            throw Bad(header, file, $"block {block} is placed in {columns} columns and {rows} rows, more than {int.MaxValue}");
        }

        // Seen from behind, x and the sense of rotation turn round: Mirror·Rotate(a)·Scale = Rotate(−a)·Mirror·Scale.
        double mirror = header.IsMirrored ? -1 : 1;
        double turned = mirror * rotation;
        (double sin, double cos) = Trigonometry.SinCosDegrees(turned);
        var along = new PlanePoint(mirror * columnSpacing * cos, mirror * columnSpacing * sin);
        var across = new PlanePoint(-rowSpacing * sin, rowSpacing * cos);
        return new InsertEntity(
            header.Origin, block, new(mirror * x, y), turned, mirror * scaleX, scaleY, (int)columns, (int)rows, along, across);
    }
}
