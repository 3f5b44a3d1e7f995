using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Reads the records that draw something (types 20 to 27).</summary>
internal sealed class OasisGeometry(OasisBytes bytes, OasisPoints points, OasisShapes shapes, OasisCopies copies, GdsiiLayers layers)
{
    // Bits of the info byte that all these records share.
    private const int LayerBit = 0x01;
    private const int DataTypeBit = 0x02;
    private const int RepetitionBit = 0x04;
    private const int YBit = 0x08;
    private const int XBit = 0x10;

    /// <summary>Name of a layer and data type.</summary>
    public static string LayerName(long layer, long dataType) => string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{layer}/{dataType}");

    /// <summary>Reads a record and draws what it says.</summary>
    public void Read(OasisRecordType type, OasisCell cell, OasisModal modal)
    {
        long begin = bytes.Position - 1;
        byte info = bytes.Byte();
        modal.Layer = (info & LayerBit) != 0 ? bytes.Unsigned() : modal.Layer;
        modal.DataType = (info & DataTypeBit) != 0 ? bytes.Unsigned() : modal.DataType;
        Func<int, OasisVector, Shape?> make = type switch
        {
            OasisRecordType.Rectangle => Rectangle(info, modal),
            OasisRecordType.Polygon => Polygon(info, modal),
            OasisRecordType.Path => Path(info, modal),
            OasisRecordType.CompactTrapezoid => CompactTrapezoid(info, modal),
            OasisRecordType.Circle => Circle(info, modal),
            _ => Trapezoid(type, info, modal),
        };
        modal.ShapeAt = ReadPlace((byte)((info & (XBit | YBit)) << 1), modal.ShapeAt, modal.IsRelative);
        OasisRepetition repetition = ReadRepetition(info, RepetitionBit, modal);
        long layer = OasisModal.Need(modal.Layer, "layer", bytes);
        long dataType = OasisModal.Need(modal.DataType, "data type", bytes);
        if (layer > int.MaxValue || dataType > int.MaxValue)
        {
            throw bytes.Fault($"layer {LayerName(layer, dataType)}");
        }

        int index = layers.IndexOf((int)layer, (int)dataType);
        if (index >= 0)
        {
            shapes.Here = shapes.Places.At(shapes.Places.NumberOf(new(bytes.Name, NameOf(type), cell.Key.Name, layers.NameAt(index), PlaceNumber.Byte)), 0, (ulong)begin);
        }

        if (index >= 0 && !copies.Draw(cell, modal.ShapeAt, repetition, at => make(index, at)))
        {
            cell.Ignored.Add("shape without area or length", "shapes without area or length", LayerName(layer, dataType), null, repetition.Count, isLoss: true);
        }
    }

    private static string NameOf(OasisRecordType type) => type switch
    {
        OasisRecordType.Rectangle => "RECTANGLE",
        OasisRecordType.Polygon => "POLYGON",
        OasisRecordType.Path => "PATH",
        OasisRecordType.Circle => "CIRCLE",
        OasisRecordType.CompactTrapezoid => "CTRAPEZOID",
        _ => "TRAPEZOID",
    };

    /// <summary>Passes over a geometry that the standard leaves to its writer.</summary>
    public void SkipExtension(OasisCell cell, OasisModal modal)
    {
        byte info = bytes.Byte();
        bytes.Unsigned();
        modal.Layer = (info & LayerBit) != 0 ? bytes.Unsigned() : modal.Layer;
        modal.DataType = (info & DataTypeBit) != 0 ? bytes.Unsigned() : modal.DataType;
        bytes.SkipText();
        modal.ShapeAt = ReadPlace((byte)((info & (XBit | YBit)) << 1), modal.ShapeAt, modal.IsRelative);
        OasisRepetition repetition = ReadRepetition(info, RepetitionBit, modal);
        (long layer, long dataType) = (modal.Layer ?? 0, modal.DataType ?? 0);
        bool isSelected = layer > int.MaxValue || dataType > int.MaxValue || layers.IsSelected((int)layer, (int)dataType);
        cell.Ignored.Add("extension geometry", "extension geometries", LayerName(layer, dataType), null, repetition.Count, isSelected);
    }

    /// <summary>Reads x and y where bits 5 and 4 say so.</summary>
    public OasisVector ReadPlace(byte info, OasisVector before, bool isRelative)
    {
        long x = (info & 0x20) != 0 ? points.Coordinate() + (isRelative ? before.X : 0) : before.X;
        long y = (info & 0x10) != 0 ? points.Coordinate() + (isRelative ? before.Y : 0) : before.Y;
        return points.Sum(new(x, y), default);
    }

    /// <summary>Reads a repetition where a bit says so.</summary>
    public OasisRepetition ReadRepetition(byte info, int bit, OasisModal modal)
    {
        if ((info & bit) == 0)
        {
            return OasisRepetition.Once;
        }

        modal.Repetition = OasisRepetition.Read(bytes, points, modal.Repetition);
        return modal.Repetition;
    }

    private Func<int, OasisVector, Shape?> Rectangle(byte info, OasisModal modal)
    {
        bool isSquare = (info & 0x80) != 0;
        modal.Width = (info & 0x40) != 0 ? points.Size() : modal.Width;
        if (isSquare && (info & 0x20) != 0)
        {
            throw bytes.Fault("a square with a height of its own");
        }

        modal.Height = isSquare ? modal.Width : (info & 0x20) != 0 ? points.Size() : modal.Height;
        long width = OasisModal.Need(modal.Width, "width", bytes);
        long height = OasisModal.Need(modal.Height, "height", bytes);
        return (layer, at) => shapes.Rectangle(layer, at, width, height);
    }

    private Func<int, OasisVector, Shape?> Polygon(byte info, OasisModal modal)
    {
        modal.Polygon = (info & 0x20) != 0 ? points.List(isPolygon: true) : modal.Polygon;
        List<OasisVector> corners = [default, .. OasisModal.Need(modal.Polygon, "outline", bytes)];
        return (layer, at) => shapes.Polygon(layer, at, corners);
    }

    private Func<int, OasisVector, Shape?> Path(byte info, OasisModal modal)
    {
        modal.HalfWidth = (info & 0x40) != 0 ? points.Size() : modal.HalfWidth;
        long halfWidth = OasisModal.Need(modal.HalfWidth, "half width", bytes);
        if ((info & 0x80) != 0)
        {
            long scheme = bytes.Unsigned();
            modal.StartExtension = Extension((scheme >> 2) & 3, modal.StartExtension, halfWidth);
            modal.EndExtension = Extension(scheme & 3, modal.EndExtension, halfWidth);
        }

        modal.Path = (info & 0x20) != 0 ? points.List(isPolygon: false) : modal.Path;
        List<OasisVector> corners = OasisModal.Need(modal.Path, "course", bytes);
        long start = OasisModal.Need(modal.StartExtension, "start extension", bytes);
        long end = OasisModal.Need(modal.EndExtension, "end extension", bytes);
        return (layer, at) => shapes.Path(layer, at, corners, halfWidth, start, end);
    }

    private long? Extension(long kind, long? before, long halfWidth) => kind switch
    {
        0 => before,
        1 => 0,
        2 => halfWidth,
        _ => points.Coordinate(),
    };

    private Func<int, OasisVector, Shape?> Trapezoid(OasisRecordType type, byte info, OasisModal modal)
    {
        (long width, long height) = ReadSize(info, modal, needsWidth: true, needsHeight: true);
        long first = type != OasisRecordType.TrapezoidSecond ? points.Coordinate() : 0;
        long second = type != OasisRecordType.TrapezoidFirst ? points.Coordinate() : 0;
        return Trapezoid(OasisTrapezoids.Corners((info & 0x80) != 0, width, height, first, second));
    }

    private Func<int, OasisVector, Shape?> CompactTrapezoid(byte info, OasisModal modal)
    {
        modal.TrapezoidType = (info & 0x80) != 0 ? bytes.Unsigned() : modal.TrapezoidType;
        long type = OasisModal.Need(modal.TrapezoidType, "type of a trapezoid", bytes);
        if (type >= OasisTrapezoids.CompactTypes)
        {
            throw bytes.Fault($"a trapezoid of type {type}; there are 0 to {OasisTrapezoids.CompactTypes - 1}");
        }

        (bool needsWidth, bool needsHeight) = OasisTrapezoids.Needs((int)type);
        (long width, long height) = ReadSize(info, modal, needsWidth, needsHeight);
        return Trapezoid(OasisTrapezoids.Compact((int)type, width, height));
    }

    private Func<int, OasisVector, Shape?> Trapezoid(OasisVector[] corners) => OasisTrapezoids.IsProper(corners)
        ? (layer, at) => shapes.Polygon(layer, at, corners)
        : throw bytes.Fault("a trapezoid with crossing sides: its box is too small for their slant");

    private (long Width, long Height) ReadSize(byte info, OasisModal modal, bool needsWidth, bool needsHeight)
    {
        modal.Width = (info & 0x40) != 0 ? points.Size() : modal.Width;
        modal.Height = (info & 0x20) != 0 ? points.Size() : modal.Height;
        return (needsWidth ? OasisModal.Need(modal.Width, "width", bytes) : 0, needsHeight ? OasisModal.Need(modal.Height, "height", bytes) : 0);
    }

    private Func<int, OasisVector, Shape?> Circle(byte info, OasisModal modal)
    {
        modal.Radius = (info & 0x20) != 0 ? points.Size() : modal.Radius;
        long radius = OasisModal.Need(modal.Radius, "radius", bytes);
        return (layer, at) => shapes.Circle(layer, at, radius);
    }
}
