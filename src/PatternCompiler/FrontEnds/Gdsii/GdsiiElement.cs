using System.Buffers.Binary;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>The records of one element, gathered. Reused from element to element.</summary>
internal sealed class GdsiiElement
{
    private int[] coordinates = new int[64];

    /// <summary>Which element it is.</summary>
    public GdsiiRecordType Kind { get; private set; }

    /// <summary>Position of its first record in the file.</summary>
    public long Position { get; private set; }

    /// <summary>Layer number, -1 if absent.</summary>
    public int Layer { get; private set; }

    /// <summary>Data type, box type, text type or node type; 0 if absent.</summary>
    public int DataType { get; private set; }

    /// <summary>Width in database units; negative if it does not scale.</summary>
    public int Width { get; private set; }

    /// <summary>How a path ends: 0 flat, 1 round, 2 square, 4 by its extensions.</summary>
    public int PathType { get; private set; }

    /// <summary>Extension of a path of type 4 beyond its first point.</summary>
    public int BeginExtension { get; private set; }

    /// <summary>Extension of a path of type 4 beyond its last point.</summary>
    public int EndExtension { get; private set; }

    /// <summary>Name of the placed cell, or null.</summary>
    public string? PlacedName { get; private set; }

    /// <summary>Mirrored about the x axis before the rotation.</summary>
    public bool IsReflected { get; private set; }

    /// <summary>Magnification or angle is marked as absolute.</summary>
    public bool IsAbsolute { get; private set; }

    /// <summary>Magnification.</summary>
    public double Magnification { get; private set; }

    /// <summary>Rotation in degrees, counter-clockwise.</summary>
    public double Angle { get; private set; }

    /// <summary>Columns of an array.</summary>
    public int Columns { get; private set; }

    /// <summary>Rows of an array.</summary>
    public int Rows { get; private set; }

    /// <summary>Number of points.</summary>
    public int PointCount { get; private set; }

    /// <summary>Coordinates in database units, x and y in turn.</summary>
    public ReadOnlySpan<int> Coordinates => coordinates.AsSpan(0, 2 * PointCount);

    /// <summary>Reads up to ENDEL; the reader stands on the element's first record.</summary>
    public void Read(GdsiiRecordReader records)
    {
        Clear(records);
        for (records.Read(); records.Type != GdsiiRecordType.EndElement; records.Read())
        {
            Take(records);
        }
    }

    private void Clear(GdsiiRecordReader records)
    {
        Kind = records.Type;
        Position = records.Position;
        (Layer, DataType, Width, PathType, BeginExtension, EndExtension) = (-1, 0, 0, 0, 0, 0);
        (PlacedName, IsReflected, IsAbsolute, Magnification, Angle, Columns, Rows, PointCount) = (null, false, false, 1, 0, 1, 1, 0);
    }

    private void Take(GdsiiRecordReader records)
    {
        switch (records.Type)
        {
            case GdsiiRecordType.Layer:
                Layer = records.Short();
                break;
            case GdsiiRecordType.DataType or GdsiiRecordType.BoxType or GdsiiRecordType.TextType or GdsiiRecordType.NodeType:
                DataType = records.Short();
                break;
            case GdsiiRecordType.Width:
                Width = records.Integer();
                break;
            case GdsiiRecordType.PathType:
                PathType = records.Short();
                break;
            case GdsiiRecordType.BeginExtension:
                BeginExtension = records.Integer();
                break;
            case GdsiiRecordType.EndExtension:
                EndExtension = records.Integer();
                break;
            case GdsiiRecordType.PlacedName:
                PlacedName = records.Text();
                break;
            case GdsiiRecordType.Transformation:
                int flags = records.Short();
                IsReflected = (flags & 0x8000) != 0;
                IsAbsolute = (flags & 0x0006) != 0;
                break;
            case GdsiiRecordType.Magnification:
                Magnification = records.Real();
                break;
            case GdsiiRecordType.Angle:
                Angle = records.Real();
                break;
            case GdsiiRecordType.ColumnsRows:
                Columns = records.Short();
                Rows = BinaryPrimitives.ReadInt16BigEndian(records.AtLeast(4)[2..]);
                break;
            case GdsiiRecordType.Coordinates:
                TakeCoordinates(records);
                break;
            case GdsiiRecordType.EndStructure or GdsiiRecordType.EndLibrary or GdsiiRecordType.BeginStructure
                or GdsiiRecordType.Boundary or GdsiiRecordType.Path or GdsiiRecordType.Box
                or GdsiiRecordType.StructureReference or GdsiiRecordType.ArrayReference:
                throw new CompileException(GdsiiCodes.BadRecord, $"{records.Type} within an element that has not ended",
                    records.Place(), "the stream is damaged: export it again");
        }
    }

    private void TakeCoordinates(GdsiiRecordReader records)
    {
        ReadOnlySpan<byte> data = records.Data;
        if (data.Length % 8 != 0)
        {
            throw new CompileException(GdsiiCodes.BadRecord, $"coordinates of {data.Length} bytes; each point takes 8", records.Place(),
                "the stream is damaged: export it again");
        }

        // Some writers spread a long outline over several records.
        int before = 2 * PointCount;
        int count = data.Length / 4;
        if (before + count > coordinates.Length)
        {
            Array.Resize(ref coordinates, Math.Max(2 * coordinates.Length, before + count));
        }

        Span<int> target = coordinates.AsSpan(before, count);
        data.CopyTo(System.Runtime.InteropServices.MemoryMarshal.AsBytes(target));
        if (BitConverter.IsLittleEndian)
        {
            BinaryPrimitives.ReverseEndianness(target, target);
        }

        PointCount += count / 2;
    }
}
