using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Reads the records after START, up to END.</summary>
internal sealed class OasisRecords
{
    private const int TableOffsets = 12;

    private readonly OasisBytes bytes;
    private readonly OasisPoints points;
    private readonly OasisShapes shapes;
    private readonly OasisGeometry geometry;
    private readonly OasisCopies copies;
    private readonly bool hasOffsets;
    private readonly CancellationToken cancellation;
    private readonly OasisNames names = new();
    private readonly List<OasisCell> cells = [];
    private OasisModal modal = new();
    private OasisCell? cell;

    public OasisRecords(OasisBytes bytes, OasisShapes shapes, GdsiiLayers layers, bool hasOffsets, WorkLimits limits, CancellationToken cancellation)
    {
        this.bytes = bytes;
        this.shapes = shapes;
        this.hasOffsets = hasOffsets;
        this.cancellation = cancellation;
        points = new OasisPoints(bytes);
        copies = new OasisCopies(bytes, shapes, limits);
        geometry = new OasisGeometry(bytes, points, shapes, copies, layers);
    }

    /// <summary>Passes over the places of the name tables, which reading from front to back does not need.</summary>
    public static void SkipOffsets(OasisBytes bytes)
    {
        for (int i = 0; i < TableOffsets; i++)
        {
            bytes.Unsigned();
        }
    }

    /// <summary>Reads everything.</summary>
    public List<GdsiiCell> Read()
    {
        for (long type = bytes.Unsigned(); type != (long)OasisRecordType.End; type = bytes.Unsigned())
        {
            cancellation.ThrowIfCancellationRequested();
            ReadRecord(type);
        }

        if (bytes.IsInBlock)
        {
            throw bytes.Fault("the END record within a compressed block");
        }

        if (!hasOffsets)
        {
            SkipOffsets(bytes);
        }

        bytes.SkipText();
        bytes.CheckSignature(bytes.Unsigned());
        return names.Resolve([.. cells, .. copies.Cells], bytes);
    }

    private void ReadRecord(long type)
    {
        switch ((OasisRecordType)Math.Min(type, int.MaxValue))
        {
            case OasisRecordType.Pad:
                break;
            case OasisRecordType.CellName or OasisRecordType.CellNameNumbered:
                names.Read(bytes, type == (long)OasisRecordType.CellNameNumbered);
                Forget();
                break;
            case OasisRecordType.TextString or OasisRecordType.PropertyName or OasisRecordType.PropertyString:
                bytes.SkipText();
                Forget();
                break;
            case OasisRecordType.TextStringNumbered or OasisRecordType.PropertyNameNumbered or OasisRecordType.PropertyStringNumbered:
                bytes.SkipText();
                bytes.Unsigned();
                Forget();
                break;
            case OasisRecordType.LayerName or OasisRecordType.TextLayerName:
                bytes.SkipText();
                SkipInterval();
                SkipInterval();
                Forget();
                break;
            case OasisRecordType.CellByNumber or OasisRecordType.CellByName:
                cell = new OasisCell(OasisCellKey.Read(bytes, type == (long)OasisRecordType.CellByNumber), bytes.Position);
                cells.Add(cell);
                modal = new OasisModal();
                break;
            case OasisRecordType.Absolute or OasisRecordType.Relative:
                modal.IsRelative = type == (long)OasisRecordType.Relative;
                break;
            case OasisRecordType.Placement or OasisRecordType.PlacementTurned:
                ReadPlacement(type == (long)OasisRecordType.PlacementTurned);
                break;
            case OasisRecordType.Text:
                ReadText();
                break;
            case >= OasisRecordType.Rectangle and <= OasisRecordType.Circle:
                geometry.Read((OasisRecordType)type, Cell(), modal);
                break;
            case OasisRecordType.Property:
                SkipProperty();
                break;
            case OasisRecordType.PropertyRepeated:
                break;
            case OasisRecordType.ExtensionName or OasisRecordType.ExtensionNameNumbered:
                bytes.Unsigned();
                bytes.SkipText();
                if (type == (long)OasisRecordType.ExtensionNameNumbered)
                {
                    bytes.Unsigned();
                }

                break;
            case OasisRecordType.ExtensionElement:
                bytes.Unsigned();
                bytes.SkipText();
                break;
            case OasisRecordType.ExtensionGeometry:
                _ = Cell();
                geometry.SkipExtension(Cell(), modal);
                break;
            case OasisRecordType.CompressedBlock:
                bytes.OpenBlock();
                break;
            default:
                throw bytes.Fault($"a record of type {type}, which has no place here");
        }
    }

    private OasisCell Cell() => cell ?? throw bytes.Fault("an object before the first cell");

    // Name records belong to no cell.
    private void Forget()
    {
        cell = null;
        modal = new OasisModal();
    }

    private void ReadPlacement(bool isTurned)
    {
        OasisCell owner = Cell();
        long begin = bytes.Position - 1;
        byte info = bytes.Byte();
        if ((info & 0x80) != 0)
        {
            modal.PlacedCell = OasisCellKey.Read(bytes, (info & 0x40) != 0);
        }

        double magnification = 1;
        double degrees = ((info >> 1) & 3) * 90;
        if (isTurned)
        {
            magnification = (info & 4) != 0 ? bytes.Real() : 1;
            degrees = (info & 2) != 0 ? bytes.Real() : 0;
        }

        if (!(magnification > 0))
        {
            throw bytes.Fault($"a magnification of {NumberText.Format(magnification)}; it must be above zero");
        }

        modal.PlacementAt = geometry.ReadPlace(info, modal.PlacementAt, modal.IsRelative);
        OasisRepetition repetition = geometry.ReadRepetition(info, 0x08, modal);
        OasisCellKey key = OasisModal.Need(modal.PlacedCell, "cell to place", bytes);
        var orientation = new Orientation(degrees, magnification, (info & 1) != 0 ? -magnification : magnification);
        shapes.Here = shapes.Places.At(shapes.Places.NumberOf(new(bytes.Name, "PLACEMENT", owner.Key.Name, null, PlaceNumber.Byte)), 0, (ulong)begin);
        copies.Place(owner, key, orientation, modal.PlacementAt, repetition);
    }

    private void ReadText()
    {
        _ = Cell();
        byte info = bytes.Byte();
        if ((info & 0x40) != 0)
        {
            if ((info & 0x20) != 0)
            {
                bytes.Unsigned();
            }
            else
            {
                bytes.SkipText();
            }
        }

        modal.TextLayer = (info & 1) != 0 ? bytes.Unsigned() : modal.TextLayer;
        modal.TextType = (info & 2) != 0 ? bytes.Unsigned() : modal.TextType;
        modal.TextAt = geometry.ReadPlace((byte)((info & 0x10) << 1 | (info & 0x08) << 1), modal.TextAt, modal.IsRelative);
        OasisRepetition repetition = geometry.ReadRepetition(info, 0x04, modal);
        long layer = OasisModal.Need(modal.TextLayer, "layer of a label", bytes);
        long type = OasisModal.Need(modal.TextType, "type of a label", bytes);
        Cell().Ignored.Add("label", "labels", OasisGeometry.LayerName(layer, type), null, repetition.Count, isLoss: false);
    }

    private void SkipInterval()
    {
        long type = bytes.Unsigned();
        if (type > 4)
        {
            throw bytes.Fault($"an interval of type {type}; there are 0 to 4");
        }

        for (int i = 0; i < (type == 4 ? 2 : type == 0 ? 0 : 1); i++)
        {
            bytes.Unsigned();
        }
    }

    private void SkipProperty()
    {
        byte info = bytes.Byte();
        if ((info & 4) != 0)
        {
            if ((info & 2) != 0)
            {
                bytes.Unsigned();
            }
            else
            {
                bytes.SkipText();
            }
        }

        if ((info & 8) != 0)
        {
            return;
        }

        long count = info >> 4;
        count = count == 15 ? bytes.Unsigned() : count;
        for (; count > 0; count--)
        {
            long type = bytes.Unsigned();
            switch (type)
            {
                case <= 7:
                    bytes.Real(type);
                    break;
                case 10 or 11 or 12:
                    bytes.SkipText();
                    break;
                case <= 15:
                    bytes.Unsigned();
                    break;
                default:
                    throw bytes.Fault($"a property value of type {type}; there are 0 to 15");
            }
        }
    }
}
