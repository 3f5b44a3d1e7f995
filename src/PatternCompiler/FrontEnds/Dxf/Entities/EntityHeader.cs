using System.Globalization;
using PatternCompiler.FrontEnds.Dxf.Tags;

namespace PatternCompiler.FrontEnds.Dxf.Entities;

/// <summary>What every entity has: type, layer, handle, space, visibility and extrusion. Reused from entity to entity.</summary>
internal sealed class EntityHeader
{
    // An extrusion this close to the z axis is upright: the slant would move nothing by as much as a grid step.
    private const double UprightTolerance = 1e-9;

    private string type = "";
    private string layer = "0";
    private ulong handle;
    private int line;
    private bool isOwnMark;
    private double normalX;
    private double normalY;
    private double normalZ;

    /// <summary>The entity carries the mark that this program gives to lines that are no side of an area.</summary>
    public bool IsMarkedAsLine { get; private set; }

    /// <summary>The entity lies on a sheet and not in the drawing itself.</summary>
    public bool IsInPaperSpace { get; private set; }

    /// <summary>The entity is switched invisible.</summary>
    public bool IsInvisible { get; private set; }

    /// <summary>The entity's own plane is seen from behind: its x axis points left.</summary>
    public bool IsMirrored => normalZ < 0;

    /// <summary>The entity's own plane is not parallel to the drawing.</summary>
    public bool IsTilted => !(Math.Max(Math.Abs(normalX), Math.Abs(normalY)) <= UprightTolerance * Math.Abs(normalZ));

    /// <summary>Origin for messages.</summary>
    public EntityOrigin Origin => new(type, layer, handle, line);

    /// <summary>Starts an entity; the reader stands on its type.</summary>
    public void Begin(string entityType, int startLine)
    {
        type = entityType;
        layer = "0";
        handle = 0;
        line = startLine;
        normalX = 0;
        normalY = 0;
        normalZ = 1;
        IsInPaperSpace = false;
        IsInvisible = false;
        IsMarkedAsLine = false;
        isOwnMark = false;
    }

    /// <summary>Takes a pair of the data that applications attach to entities (group codes from 1000 on).</summary>
    public void TakeMark(DxfTagReader tag)
    {
        switch (tag.Code)
        {
            case 1001:
                isOwnMark = tag.Value.SequenceEqual(DxfMark.Application);
                break;
            case 1000:
                IsMarkedAsLine |= isOwnMark && tag.Value.SequenceEqual(DxfMark.Line);
                break;
        }
    }

    /// <summary>Takes a pair that has the same meaning in every entity; false if it is not one of those.</summary>
    public bool Take(DxfTagReader tag, NameTable names)
    {
        switch (tag.Code)
        {
            case 5:
                _ = ulong.TryParse(tag.Value, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out handle);
                return true;
            case 8:
                layer = names.Get(tag);
                return true;
            case 60:
                IsInvisible = tag.Integer() != 0;
                return true;
            case 67:
                IsInPaperSpace = tag.Integer() != 0;
                return true;
            case 210:
                normalX = tag.Real();
                return true;
            case 220:
                normalY = tag.Real();
                return true;
            case 230:
                normalZ = tag.Real();
                return true;
            default:
                return false;
        }
    }
}

/// <summary>
/// What this program attaches to entities that it writes, as extended data of its own: what a drawing cannot say otherwise.
/// </summary>
internal static class DxfMark
{
    /// <summary>Name of the application that the data belongs to.</summary>
    public static ReadOnlySpan<byte> Application => "PATTERNC"u8;

    /// <summary>A line without width that is no side of an area, even if it ends where it or another one begins.</summary>
    public static ReadOnlySpan<byte> Line => "line"u8;
}
