using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Gdsii;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>Reads OASIS files (SEMI P39, version 1.0); what is read is described in README.md beside this file.</summary>
internal static class OasisReader
{
    private const long PicometresPerMicrometre = 1_000_000;

    /// <summary>The 13 bytes that open every file.</summary>
    public static ReadOnlySpan<byte> Magic => "%SEMI-OASIS\r\n"u8;

    /// <summary>
    /// Reads a file as a layout. Layers are named by number and data type ("5/0"). Regular arrays stay arrays, also those of
    /// shapes. Labels are reported as ignored.
    /// </summary>
    /// <param name="input">The file's bytes; read once, front to back.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="options">Unit (a micrometre if absent), grid, top cell, layers.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">The input is no OASIS file or cannot be exposed.</exception>
    public static LayoutDocument Read(
        Stream input, string name, DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (options.GridPicometres < 1 || (options.UnitNanometres is { } unit && !(unit > 0 && double.IsFinite(unit))))
        {
            throw new CompileException(GdsiiCodes.BadOption, "the drawing unit must be above zero and the grid 1 pm or more");
        }

        using var bytes = new OasisBytes(input, name);
        foreach (byte expected in Magic)
        {
            if (bytes.Byte() != expected)
            {
                throw new CompileException(OasisCodes.NotOasis, "the file does not begin with %SEMI-OASIS", new(name), "this is not an OASIS file");
            }
        }

        double unitPicometres = ReadStart(bytes, options, out bool hasOffsets);
        double stepsPerUnit = unitPicometres / options.GridPicometres;
        if (stepsPerUnit != Math.Floor(stepsPerUnit))
        {
            sink.Warn(OasisCodes.RoundedToGrid,
                $"the file's grid of {Number(unitPicometres / 1000)} nm is not a whole number of grid steps of {Number(options.GridPicometres / 1000.0)} nm; coordinates are rounded",
                new(name), "choose a grid that divides that of the file");
        }

        var layers = new GdsiiLayers(options.Layers);
        var shapes = new OasisShapes(bytes, stepsPerUnit, options.Limits);
        List<GdsiiCell> cells = new OasisRecords(bytes, shapes, layers, hasOffsets, options.Limits, cancellation).Read();
        GdsiiCell top = GdsiiCellOrder.ChooseTop(cells, options.TopCell, name);
        GdsiiCellOrder order = GdsiiCellOrder.Sort(cells, top, name);
        var layout = new LayoutDocument(options.GridPicometres, layers.Names, order.Cells, top.Name) { Places = shapes.Places };
        IgnoredElements.Report(order.Placed, OasisCodes.Lost, OasisCodes.Ignored, sink, name);
        shapes.Crossings.Report(sink, name, options.GridPicometres);
        GdsiiContent.Check(layout, options, layers, name);
        sink.Note(OasisCodes.SizeRead, $"read cell {layout.TopCell} with a grid of {Number(unitPicometres / 1000)} nm: the drawing is {SizeText.Of(layout)}", new(name));
        return layout;
    }

    private static double ReadStart(OasisBytes bytes, DrawingOptions options, out bool hasOffsets)
    {
        string version = bytes.Unsigned() == (long)OasisRecordType.Start ? bytes.Text() : "";
        if (version != "1.0")
        {
            throw new CompileException(OasisCodes.NotOasis, "there is no START record of version 1.0", bytes.PlaceAt(Magic.Length), "this is not an OASIS file, or one of a later version");
        }

        double unitsPerMicrometre = bytes.Real();
        if (!(unitsPerMicrometre > 0))
        {
            throw bytes.Fault("a unit that is not above zero");
        }

        hasOffsets = bytes.Unsigned() == 0;
        if (hasOffsets)
        {
            OasisRecords.SkipOffsets(bytes);
        }

        // A grid this close to a whole number of picometres is one.
        double picometres = (options.UnitNanometres * 1000 ?? PicometresPerMicrometre) / unitsPerMicrometre;
        double whole = Math.Round(picometres);
        return Math.Abs(picometres - whole) <= 1e-12 * picometres ? whole : picometres;
    }

    private static string Number(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
}
