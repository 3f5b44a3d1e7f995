namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of DXF drawings.</summary>
internal static class DxfCodes
{
    /// <summary>Not a DXF file at all.</summary>
    public static readonly DiagnosticCode NotDxf = new("PC0301", DiagnosticKind.Input, "not a DXF drawing",
        "A DXF file is a list of pairs, a group code and its value, and begins with a SECTION. This input does not: it is empty, "
        + "a file of another kind with the wrong name, or text in an encoding that DXF does not use (UTF-16). Export the drawing again as DXF.");

    /// <summary>The file stops in the middle.</summary>
    public static readonly DiagnosticCode Truncated = new("PC0302", DiagnosticKind.Input, "truncated DXF",
        "The file ends inside a section, so entities are missing and the exposure would be incomplete. Export or copy the drawing again.");

    /// <summary>A group code that is not one.</summary>
    public static readonly DiagnosticCode BadGroupCode = new("PC0303", DiagnosticKind.Input, "malformed group code",
        "Every odd line of a DXF file holds a whole number from -5 to 1071. Another text there means that a line was lost or added; "
        + "everything after it would be misread. Export the drawing again.");

    /// <summary>A value that does not fit its group code.</summary>
    public static readonly DiagnosticCode BadValue = new("PC0304", DiagnosticKind.Input, "malformed value",
        "The value does not have the type that its group code asks for, for instance a coordinate that is not a finite number or that has a decimal comma.");

    /// <summary>A required part is missing or contradicts another.</summary>
    public static readonly DiagnosticCode BadEntity = new("PC0305", DiagnosticKind.Input, "impossible entity",
        "An entity lacks a value that it cannot do without, or has one that makes no sense, such as a radius of zero. Correct or delete the entity in the drawing.");

    /// <summary>A coordinate beyond the range.</summary>
    public static readonly DiagnosticCode OutOfRange = new("PC0306", DiagnosticKind.Input, "coordinate out of range",
        "Coordinates are held as whole grid steps within ±2^30; on the default grid of 0.1 nm that is ±107 mm. "
        + "Usual causes are a wrong drawing unit (a drawing in µm read as mm is 1000 times too large) and a pattern drawn far from the origin.");

    /// <summary>INSERT of an unknown block.</summary>
    public static readonly DiagnosticCode UnknownBlock = new("PC0307", DiagnosticKind.Input, "unknown block",
        "An INSERT places a block that the file does not define, so part of the pattern would be missing. The block may live in an external drawing: bind it before exporting.");

    /// <summary>A block that contains itself.</summary>
    public static readonly DiagnosticCode BlockCycle = new("PC0308", DiagnosticKind.Input, "block contains itself",
        "A block that places itself, directly or through other blocks, has no finite shape.");

    /// <summary>Nesting beyond the limit.</summary>
    public static readonly DiagnosticCode NestingTooDeep = new("PC0309", DiagnosticKind.Input, "blocks nested too deep",
        "Blocks may be nested 256 deep. No drawing made by hand comes near; a file that goes further is damaged or built to exhaust memory.");

    /// <summary>Open outline where none is allowed.</summary>
    public static readonly DiagnosticCode OpenOutline = new("PC0310", DiagnosticKind.Input, "open outline",
        "Lines and arcs that do not close enclose no area. Close the outline in the drawing, allow a larger joining gap, or have open outlines written as single lines.");

    /// <summary>A selected layer that does not exist.</summary>
    public static readonly DiagnosticCode UnknownLayer = new("PC0311", DiagnosticKind.Input, "unknown layer",
        "A layer that was asked for has nothing drawn on it. Layer names are compared without regard to case.");

    /// <summary>Nothing to expose.</summary>
    public static readonly DiagnosticCode NothingDrawn = new("PC0312", DiagnosticKind.Input, "nothing drawn",
        "The drawing has no entity that could be exposed on the layers that are switched on and selected.");

    /// <summary>The file names no unit.</summary>
    public static readonly DiagnosticCode UnitAssumed = new("PC0313", DiagnosticKind.Doubt, "drawing unit assumed",
        "The file does not say what length one drawing unit is ($INSUNITS is absent or 0). Millimetres are taken. A wrong unit makes the pattern larger or smaller by a power of ten: check the size that the message prints, and state the unit.");

    /// <summary>A unit that is unknown.</summary>
    public static readonly DiagnosticCode UnknownUnit = new("PC0314", DiagnosticKind.Input, "unknown drawing unit",
        "$INSUNITS holds a number that stands for no unit of length. State the unit by hand.");

    /// <summary>Entities that are not exposed.</summary>
    public static readonly DiagnosticCode Ignored = new("PC0315", DiagnosticKind.Remark, "entity ignored",
        "The entity has no area, line or dot to expose, or is hidden: switched off, frozen, invisible or on a sheet. It is listed so that nothing goes missing unseen.");

    /// <summary>Entities that would be exposed if they could be read.</summary>
    public static readonly DiagnosticCode Lost = new("PC0385", DiagnosticKind.Loss, "entity lost",
        "The entity is drawn on a layer that is shown and selected, but it is not exposed: it is of a kind that is not read, its data cannot be used, "
        + "it belongs to another file, or it is too small for the grid. In the drawing program, explode it or draw it as lines, arcs, polylines or hatches, "
        + "bind external drawings, read text as strokes; or leave it out on purpose: switch its layer off, or choose layers without it.");

    /// <summary>A layer that was asked for is hidden.</summary>
    public static readonly DiagnosticCode LayerHidden = new("PC0386", DiagnosticKind.Input, "layer is hidden",
        "A layer that was asked for is off or frozen in the drawing. What is hidden is not exposed, so nothing of the layer would be. Show the layer in the drawing, or do not ask for it.");

    /// <summary>Outlines within outlines.</summary>
    public static readonly DiagnosticCode Nested = new("PC0387", DiagnosticKind.Doubt, "outlines within outlines",
        "A closed outline lies within another one of the same layer and block. The format does not say whether it is a hole: unless it is told otherwise, the "
        + "program takes every closed outline as an area of its own, so that the inner one adds nothing. Read with nested outlines as holes, they alternate between area and hole from "
        + "outside to inside. A hatch says by itself what it covers.");

    /// <summary>Ends that nearly meet.</summary>
    public static readonly DiagnosticCode NearMiss = new("PC0316", DiagnosticKind.Doubt, "outline nearly closed",
        "Two loose ends lie close together, but further apart than the joining gap, so the outline stays open and encloses no area. Move them together in the drawing or allow a larger gap.");

    /// <summary>Pieces joined over a gap.</summary>
    public static readonly DiagnosticCode GapsJoined = new("PC0317", DiagnosticKind.Remark, "gaps closed",
        "Lines and arcs whose ends did not meet exactly were joined because the gap is within the one allowed.");

    /// <summary>Pieces drawn twice or without length.</summary>
    public static readonly DiagnosticCode RedundantPieces = new("PC0318", DiagnosticKind.Remark, "redundant lines dropped",
        "Lines without length and lines drawn twice over each other are left out; written, they would get twice the dose.");

    /// <summary>More than two ends at one point.</summary>
    public static readonly DiagnosticCode Branch = new("PC0319", DiagnosticKind.Doubt, "outline branches",
        "Three or another odd number of line ends meet in one point, so there is more than one way to follow the outline. The one taken may not be the one meant: draw closed polylines.");

    /// <summary>Open outlines kept as lines.</summary>
    public static readonly DiagnosticCode OpenAsLines = new("PC0320", DiagnosticKind.Remark, "open outlines as lines",
        "Lines, arcs and polylines that do not close are written as single lines of the beam, at the line dose.");

    /// <summary>The end marker is missing.</summary>
    public static readonly DiagnosticCode NoEndMarker = new("PC0321", DiagnosticKind.Doubt, "no end marker",
        "The file ends after a complete section, but without its EOF marker. Nothing seems to be missing.");

    /// <summary>More cells than the limit.</summary>
    public static readonly DiagnosticCode TooManyCells = new("PC0322", DiagnosticKind.Input, "too many block variants",
        "Entities on layer 0 of a block take the layer of the INSERT, so that a block used on many layers becomes many cells. This drawing would need more than 100,000.");

    /// <summary>What one drawing unit is.</summary>
    public static readonly DiagnosticCode SizeRead = new("PC0323", DiagnosticKind.Remark, "drawing size",
        "The unit in which the drawing was read and the size that results.");

    /// <summary>Blocks that are not placed.</summary>
    public static readonly DiagnosticCode UnusedBlocks = new("PC0325", DiagnosticKind.Remark, "blocks not placed",
        "Blocks that no INSERT places are not part of the drawing. If one of them should be exposed, place it.");

    /// <summary>An option that makes no sense.</summary>
    public static readonly DiagnosticCode BadOption = new("PC0324", DiagnosticKind.Usage, "impossible option",
        "The chord error is at least half a grid step, the joining gap is zero or more, the drawing unit is above zero.");
}
