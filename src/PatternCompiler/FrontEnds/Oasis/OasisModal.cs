using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>
/// Values that a record may leave out when they are those of the record before (SEMI P39, 10): the modal variables. They are
/// forgotten at the start of every cell; positions start at the origin.
/// </summary>
internal sealed class OasisModal
{
    public bool IsRelative { get; set; }

    public OasisVector PlacementAt { get; set; }

    public OasisVector ShapeAt { get; set; }

    public OasisVector TextAt { get; set; }

    public OasisRepetition? Repetition { get; set; }

    public OasisCellKey? PlacedCell { get; set; }

    public long? Layer { get; set; }

    public long? DataType { get; set; }

    public long? TextLayer { get; set; }

    public long? TextType { get; set; }

    public long? Width { get; set; }

    public long? Height { get; set; }

    public List<OasisVector>? Polygon { get; set; }

    public List<OasisVector>? Path { get; set; }

    public long? HalfWidth { get; set; }

    public long? StartExtension { get; set; }

    public long? EndExtension { get; set; }

    public long? TrapezoidType { get; set; }

    public long? Radius { get; set; }

    /// <summary>A value that must be set.</summary>
    public static T Need<T>(T? value, string what, OasisBytes bytes)
        where T : struct => value ?? throw Unset(what, bytes);

    /// <summary>A value that must be set.</summary>
    public static T Need<T>(T? value, string what, OasisBytes bytes)
        where T : class => value ?? throw Unset(what, bytes);

    private static CompileException Unset(string what, OasisBytes bytes) => new(
        OasisCodes.Unset, $"the {what} is left out, and no record before sets it", bytes.PlaceAt(bytes.Position), "the file is damaged: export it again");
}
