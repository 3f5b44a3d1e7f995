using System.Collections.Immutable;
using System.Text;
using PatternCompiler.FrontEnds.Dxf.Entities;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// What stands around the entities of a DXF drawing, as the DXF Reference asks for: header, tables, a record for each block,
/// and the dictionaries at the end.
/// </summary>
/// <param name="dxf">Receives the pairs.</param>
internal sealed class DxfFrame(DxfOutput dxf)
{
    /// <summary>Layer that every drawing has.</summary>
    public const string BaseLayer = "0";

    private const string Version = "AC1032";
    private const string ModelSpace = "*Model_Space";
    private const string PaperSpace = "*Paper_Space";
    private const string Solid = "Continuous";
    private const int Micrometres = 13;
    private const int Colours = 6;

    // Handles are given out in passing, after the header that names the first free one: this one is beyond all of them.
    private const long FirstFreeHandle = 1L << 40;

    private readonly Dictionary<string, long> records = new(StringComparer.Ordinal);

    /// <summary>Writes everything up to the first block of the drawing.</summary>
    /// <param name="layers">Names of the layers, as written.</param>
    /// <param name="blocks">Names of the blocks, as written.</param>
    public void WriteStart(ImmutableArray<string> layers, ImmutableArray<string> blocks)
    {
        WriteHeader();
        BeginSection("CLASSES");
        EndSection();
        BeginSection("TABLES");
        WriteViewport();
        WriteLineTypes();
        WriteLayers(layers);
        WriteStyles();
        WriteTable("VIEW", 0);
        EndTable();
        WriteTable("UCS", 0);
        EndTable();
        WriteApplications();
        WriteDimensionStyles();
        WriteBlockRecords(blocks);
        EndSection();
        BeginSection("BLOCKS");
        WriteEmptyBlock(ModelSpace);
        WriteEmptyBlock(PaperSpace);
    }

    /// <summary>Starts a block; its entities follow.</summary>
    public void BeginBlock(string name)
    {
        dxf.Owner = records[name];
        dxf.Entity("BLOCK", BaseLayer, "AcDbBlockBegin");
        dxf.Text(2, name);
        dxf.Integer(70, 0);
        dxf.Point(default(Geometry.Curves.PlanePoint));
        dxf.Text(3, name);
        dxf.Text(1, "");
    }

    /// <summary>Ends a block.</summary>
    public void EndBlock() => dxf.Entity("ENDBLK", BaseLayer, "AcDbBlockEnd");

    /// <summary>Ends the blocks; the entities of the drawing itself follow.</summary>
    public void BeginEntities()
    {
        EndSection();
        BeginSection("ENTITIES");
        dxf.Owner = records[ModelSpace];
    }

    /// <summary>Writes everything after the last entity.</summary>
    public void WriteEnd()
    {
        EndSection();
        BeginSection("OBJECTS");
        dxf.Owner = 0;
        long root = BeginDictionary(isHardOwner: true);
        dxf.Text(3, "ACAD_GROUP");
        dxf.Handle(350, dxf.NextHandle);
        dxf.Owner = root;
        BeginDictionary(isHardOwner: false);
        EndSection();
        dxf.Text(0, "EOF");
        dxf.Flush();
    }

    private void WriteHeader()
    {
        BeginSection("HEADER");
        dxf.Text(9, "$ACADVER");
        dxf.Text(1, Version);
        dxf.Text(9, "$DWGCODEPAGE");
        dxf.Text(3, "ANSI_1252");
        dxf.Text(9, "$HANDSEED");
        dxf.Handle(5, FirstFreeHandle);
        dxf.Text(9, "$INSUNITS");
        dxf.Integer(70, Micrometres);
        dxf.Text(9, "$MEASUREMENT");
        dxf.Integer(70, 1);
        EndSection();
    }

    private void WriteViewport()
    {
        WriteTable("VPORT", 1);
        WriteRecord("VPORT", "AcDbViewportTableRecord", "*Active");
        EndTable();
    }

    private void WriteLineTypes()
    {
        WriteTable("LTYPE", 3);
        foreach (string name in (string[])["ByBlock", "ByLayer", Solid])
        {
            WriteRecord("LTYPE", "AcDbLinetypeTableRecord", name);
            dxf.Text(3, "");
            dxf.Integer(72, 65);
            dxf.Integer(73, 0);
            dxf.Text(40, "0");
        }

        EndTable();
    }

    private void WriteLayers(ImmutableArray<string> layers)
    {
        bool hasBase = layers.Contains(BaseLayer);
        WriteTable("LAYER", layers.Length + (hasBase ? 0 : 1));
        if (!hasBase)
        {
            WriteLayer(BaseLayer, 7);
        }

        for (int i = 0; i < layers.Length; i++)
        {
            WriteLayer(layers[i], 1 + (i % Colours));
        }

        EndTable();
    }

    private void WriteLayer(string name, int colour)
    {
        WriteRecord("LAYER", "AcDbLayerTableRecord", name);
        dxf.Integer(62, colour);
        dxf.Text(6, Solid);
    }

    private void WriteStyles()
    {
        WriteTable("STYLE", 1);
        WriteRecord("STYLE", "AcDbTextStyleTableRecord", "Standard");
        dxf.Text(40, "0");
        dxf.Text(41, "1");
        dxf.Text(50, "0");
        dxf.Integer(71, 0);
        dxf.Text(42, "1");
        dxf.Text(3, "txt");
        dxf.Text(4, "");
        EndTable();
    }

    private void WriteApplications()
    {
        WriteTable("APPID", 2);
        WriteRecord("APPID", "AcDbRegAppTableRecord", "ACAD");
        WriteRecord("APPID", "AcDbRegAppTableRecord", Encoding.ASCII.GetString(DxfMark.Application));
        EndTable();
    }

    private void WriteDimensionStyles()
    {
        WriteTable("DIMSTYLE", 1);
        dxf.Text(100, "AcDbDimStyleTable");
        WriteRecord("DIMSTYLE", "AcDbDimStyleTableRecord", "Standard", handleCode: 105);
        EndTable();
    }

    private void WriteBlockRecords(ImmutableArray<string> blocks)
    {
        WriteTable("BLOCK_RECORD", blocks.Length + 2);
        foreach (string name in (IEnumerable<string>)[ModelSpace, PaperSpace, .. blocks])
        {
            records.Add(name, dxf.NextHandle);
            WriteRecord("BLOCK_RECORD", "AcDbBlockTableRecord", name);
        }

        EndTable();
    }

    private void WriteEmptyBlock(string name)
    {
        BeginBlock(name);
        EndBlock();
    }

    private void WriteTable(string type, int count)
    {
        long handle = dxf.TakeHandle();
        dxf.Text(0, "TABLE");
        dxf.Text(2, type);
        dxf.Handle(5, handle);
        dxf.Handle(330, 0);
        dxf.Owner = handle;
        dxf.Text(100, "AcDbSymbolTable");
        dxf.Integer(70, count);
    }

    private void EndTable() => dxf.Text(0, "ENDTAB");

    private void WriteRecord(string type, string subclass, string name, int handleCode = 5)
    {
        dxf.Object(type, handleCode);
        dxf.Text(100, "AcDbSymbolTableRecord");
        dxf.Text(100, subclass);
        dxf.Text(2, name);
        if (type != "BLOCK_RECORD")
        {
            dxf.Integer(70, 0);
        }
    }

    private long BeginDictionary(bool isHardOwner)
    {
        long handle = dxf.Object("DICTIONARY");
        dxf.Text(100, "AcDbDictionary");
        dxf.Integer(280, isHardOwner ? 1 : 0);
        dxf.Integer(281, 1);
        return handle;
    }

    private void BeginSection(string name)
    {
        dxf.Text(0, "SECTION");
        dxf.Text(2, name);
    }

    private void EndSection() => dxf.Text(0, "ENDSEC");
}
