using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Lowering;
using PatternCompiler.FrontEnds.Dxf.Tags;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Dxf;

/// <summary>Reads DXF drawings.</summary>
internal static class DxfReader
{
    /// <summary>
    /// Reads a drawing as a layout: blocks become cells, curves keep their kind where the layout has one and become polygons
    /// within the chord error where it has not. What is not exposed is reported as notes, counted by type and layer.
    /// </summary>
    /// <param name="input">The file's bytes; read once, front to back.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="options">Unit, grid, tolerances, layers.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">The input is no DXF drawing or cannot be exposed.</exception>
    public static LayoutDocument Read(
        Stream input, string name, DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        Check(options);
        DxfTagReader tags = DxfFormat.Open(input, name);
        return new Session(tags, options, sink, cancellation).Run();
    }

    private static void Check(DrawingOptions options)
    {
        string? fault =
            options.GridPicometres < 1 ? "the grid must be 1 pm or more"
            : !(options.ChordErrorNanometres * 1000 >= options.GridPicometres / 2.0 && double.IsFinite(options.ChordErrorNanometres))
                ? "the chord error must be half a grid step or more"
            : !(options.JoinGapNanometres >= 0 && double.IsFinite(options.JoinGapNanometres)) ? "the joining gap must be zero or more"
            : options.UnitNanometres is { } unit && !(unit > 0 && double.IsFinite(unit)) ? "the drawing unit must be above zero"
            : null;
        if (fault is not null)
        {
            throw new CompileException(DxfCodes.BadOption, fault);
        }
    }

    private sealed class Session(DxfTagReader tags, DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        // Bit 4 of a block's flags: an external reference.
        private const int ExternalFlag = 4;

        private readonly NameTable names = new();
        private readonly DxfHeader header = new();
        private readonly LayerTable layers = new(options.Layers);
        private DrawingBuilder? drawing;
        private EntityStream? entities;
        private DxfUnit unit = DxfUnit.Millimetre;
        private bool unitAssumed;

        public LayoutDocument Run()
        {
            bool marked = ReadSections();
            LayoutDocument layout = Drawing().Finish(cancellation);
            if (!marked)
            {
                sink.Warn(DxfCodes.NoEndMarker, "the file ends without its EOF marker", tags.Place());
            }

            ReportSize(layout);
            return layout;
        }

        // True if the end marker was found. The reader stands before the first pair.
        private bool ReadSections()
        {
            while (tags.Read())
            {
                if (tags.IsMark("EOF"u8))
                {
                    return true;
                }

                if (!tags.IsMark("SECTION"u8))
                {
                    throw new CompileException(DxfCodes.NotDxf,
                        $"expected a section to start (group code 0, SECTION), found group code {tags.Code} and \"{Shorten(tags.Text())}\"",
                        tags.Place(), "this is not a DXF drawing, or a part of it is missing");
                }

                tags.ReadWithin("the start of a section");
                ReadSection();
            }

            return false;
        }

        private void ReadSection()
        {
            string section = tags.Code == 2 ? tags.Text() : "";
            string what = $"section {section}";
            tags.ReadWithin(what);
            switch (section)
            {
                case "HEADER":
                    header.Read(tags);
                    tags.TextEncoding = DxfFormat.EncodingOf(header);
                    break;
                case "TABLES":
                    ReadTables(what);
                    break;
                case "BLOCKS":
                    ReadBlocks(what);
                    break;
                case "ENTITIES":
                    Entities().ReadUpTo("ENDSEC"u8);
                    break;
            }

            while (!tags.IsMark("ENDSEC"u8))
            {
                tags.ReadWithin(what);
            }
        }

        private void ReadTables(string what)
        {
            while (!tags.IsMark("ENDSEC"u8))
            {
                bool isLayer = tags.IsMark("LAYER"u8);
                string layer = "";
                bool isOff = false;
                bool isFrozen = false;
                for (tags.ReadWithin(what); tags.Code != 0; tags.ReadWithin(what))
                {
                    switch (isLayer ? tags.Code : -1)
                    {
                        case 2:
                            layer = names.Get(tags);
                            break;
                        case 62:
                            isOff = tags.Integer() < 0;
                            break;
                        case 70:
                            isFrozen = (tags.Integer() & 1) != 0;
                            break;
                    }
                }

                layers.SetState(layer, isOff, isFrozen);
            }
        }

        private void ReadBlocks(string what)
        {
            while (!tags.IsMark("ENDSEC"u8))
            {
                if (!tags.IsMark("BLOCK"u8))
                {
                    tags.ReadWithin(what);
                    continue;
                }

                Drawing().BeginBlock(ReadBlockStart(what));
                Entities().ReadUpTo("ENDBLK"u8);
                Drawing().EndBlock();
                tags.ReadWithin(what);
            }
        }

        private DxfBlock ReadBlockStart(string what)
        {
            int line = tags.Line;
            string block = "";
            double x = 0;
            double y = 0;
            bool isExternal = false;
            for (tags.ReadWithin(what); tags.Code != 0; tags.ReadWithin(what))
            {
                switch (tags.Code)
                {
                    case 2:
                        block = names.Get(tags);
                        break;
                    case 10:
                        x = tags.Real();
                        break;
                    case 20:
                        y = tags.Real();
                        break;
                    case 70:
                        isExternal = (tags.Integer() & ExternalFlag) != 0;
                        break;
                }
            }

            return new DxfBlock(block, line) { Base = new(x, y), IsExternal = isExternal };
        }

        private EntityStream Entities() => entities ??= new EntityStream(tags, names, Drawing(), options.TextAsStrokes, cancellation);

        // The unit must be known before the first entity; HEADER comes first in every DXF file that has one.
        private DrawingBuilder Drawing()
        {
            if (drawing is null)
            {
                ChooseUnit();
                drawing = new DrawingBuilder(new LoweringContext(tags.Name, options, unit, layers, new IgnoredEntities(), sink));
            }

            return drawing;
        }

        private void ChooseUnit()
        {
            if (options.UnitNanometres is { } nanometres)
            {
                unit = DxfUnit.FromNanometres(nanometres);
            }
            else if (header.InsUnits == 0)
            {
                unitAssumed = true;
            }
            else
            {
                unit = DxfUnit.FromInsUnits(header.InsUnits) ?? throw new CompileException(DxfCodes.UnknownUnit,
                    $"$INSUNITS is {header.InsUnits}, which stands for no unit of length",
                    new(tags.Name, header.InsUnitsLine), "state the drawing unit");
            }
        }

        private void ReportSize(LayoutDocument layout)
        {
            string size = SizeText.Of(layout);
            if (unitAssumed)
            {
                sink.Warn(DxfCodes.UnitAssumed, $"the file names no unit ($INSUNITS); 1 mm is taken, which makes the drawing {size}",
                    new(tags.Name), "state the drawing unit if that is not the size you drew");
            }
            else
            {
                sink.Note(DxfCodes.SizeRead, $"read with 1 drawing unit = {unit.Describe()}: the drawing is {size}", new(tags.Name));
            }
        }

        private static string Shorten(string text) => text.Length > 40 ? text[..40] + "…" : text;
    }
}
