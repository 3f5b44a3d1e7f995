namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Record types of the GDSII stream format, release 6.</summary>
internal enum GdsiiRecordType : byte
{
    /// <summary>Version of the format.</summary>
    Header = 0x00,

    /// <summary>Start of the library with its dates.</summary>
    BeginLibrary = 0x01,

    /// <summary>Name of the library.</summary>
    LibraryName = 0x02,

    /// <summary>User units per database unit, metres per database unit.</summary>
    Units = 0x03,

    /// <summary>End of the library.</summary>
    EndLibrary = 0x04,

    /// <summary>Start of a cell with its dates.</summary>
    BeginStructure = 0x05,

    /// <summary>Name of the cell.</summary>
    StructureName = 0x06,

    /// <summary>End of the cell.</summary>
    EndStructure = 0x07,

    /// <summary>A polygon.</summary>
    Boundary = 0x08,

    /// <summary>A path.</summary>
    Path = 0x09,

    /// <summary>A placed cell.</summary>
    StructureReference = 0x0A,

    /// <summary>An array of placed cells.</summary>
    ArrayReference = 0x0B,

    /// <summary>A text label.</summary>
    Text = 0x0C,

    /// <summary>Layer number.</summary>
    Layer = 0x0D,

    /// <summary>Data type number.</summary>
    DataType = 0x0E,

    /// <summary>Width of a path; negative if it does not scale.</summary>
    Width = 0x0F,

    /// <summary>Coordinates.</summary>
    Coordinates = 0x10,

    /// <summary>End of an element.</summary>
    EndElement = 0x11,

    /// <summary>Name of the placed cell.</summary>
    PlacedName = 0x12,

    /// <summary>Columns and rows of an array.</summary>
    ColumnsRows = 0x13,

    /// <summary>A net node.</summary>
    Node = 0x15,

    /// <summary>Type number of a text.</summary>
    TextType = 0x16,

    /// <summary>Font and alignment of a text.</summary>
    Presentation = 0x17,

    /// <summary>Characters of a text.</summary>
    Characters = 0x19,

    /// <summary>Reflection and flags of a placed cell.</summary>
    Transformation = 0x1A,

    /// <summary>Magnification.</summary>
    Magnification = 0x1B,

    /// <summary>Rotation in degrees, counter-clockwise.</summary>
    Angle = 0x1C,

    /// <summary>How a path ends.</summary>
    PathType = 0x21,

    /// <summary>Type number of a net node.</summary>
    NodeType = 0x2A,

    /// <summary>A box.</summary>
    Box = 0x2D,

    /// <summary>Type number of a box.</summary>
    BoxType = 0x2E,

    /// <summary>How far a path of type 4 reaches beyond its first point.</summary>
    BeginExtension = 0x30,

    /// <summary>How far a path of type 4 reaches beyond its last point.</summary>
    EndExtension = 0x31,

    /// <summary>The highest number that the format assigns.</summary>
    Highest = 0x3B,
}
