using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Reads GDSII streams (release 6 of the format).</summary>
internal static class GdsiiReader
{
    /// <summary>
    /// Reads a stream as a layout. Layers are named by number and data type ("5/0"). Arrays stay arrays. Labels and nodes
    /// are reported as ignored.
    /// </summary>
    /// <param name="input">The file's bytes; read once, front to back.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="options">Unit, grid, top cell, layers.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the work.</param>
    /// <exception cref="CompileException">The input is no GDSII stream or cannot be exposed.</exception>
    public static LayoutDocument Read(
        Stream input, string name, DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        if (options.GridPicometres < 1 || (options.UnitNanometres is { } unit && !(unit > 0 && double.IsFinite(unit))))
        {
            throw new CompileException(GdsiiCodes.BadOption, "the drawing unit must be above zero and the grid 1 pm or more");
        }

        return new Session(new GdsiiRecordReader(input, name), options, sink, cancellation).Run();
    }

    private sealed class Session(GdsiiRecordReader records, DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        private readonly GdsiiLayers layers = new(options.Layers);
        private readonly List<GdsiiCell> cells = [];
        private readonly HashSet<string> names = new(StringComparer.Ordinal);
        private readonly GdsiiElement element = new();
        private readonly PlaceTable places = new();
        private double unitPicometres;

        public LayoutDocument Run()
        {
            ReadHeader();
            double stepsPerUnit = unitPicometres / options.GridPicometres;
            if (stepsPerUnit != Math.Floor(stepsPerUnit))
            {
                sink.Warn(GdsiiCodes.RoundedToGrid,
                    $"the database unit of {Number(unitPicometres / 1000)} nm is not a whole number of grid steps of {Number(options.GridPicometres / 1000.0)} nm; coordinates are rounded",
                    new(records.Name), "choose a grid that divides the database unit");
            }

            var shapes = new GdsiiShapes(records.Name, stepsPerUnit, options.Limits);
            ReadCells(shapes);
            GdsiiCell top = GdsiiCellOrder.ChooseTop(cells, options.TopCell, records.Name);
            GdsiiCellOrder order = GdsiiCellOrder.Sort(cells, top, records.Name);
            var layout = new LayoutDocument(options.GridPicometres, layers.Names, order.Cells, top.Name) { Places = places };
            IgnoredElements.Report(order.Placed, GdsiiCodes.Lost, GdsiiCodes.Ignored, sink, records.Name);
            Report(layout, shapes);
            return layout;
        }

        private void ReadHeader()
        {
            ReadExpected(GdsiiRecordType.Header);
            ReadExpected(GdsiiRecordType.BeginLibrary);
            do
            {
                records.Read();
            }
            while (records.Type is not (GdsiiRecordType.Units or GdsiiRecordType.BeginStructure or GdsiiRecordType.EndLibrary));

            if (records.Type != GdsiiRecordType.Units)
            {
                throw new CompileException(GdsiiCodes.BadRecord, "the UNITS record is missing", records.Place(), "export the stream again");
            }

            ReadOnlySpan<byte> data = records.AtLeast(16);
            double userUnits = GdsiiReal.Read(data);
            double metres = GdsiiReal.Read(data[8..]);
            if (!(userUnits > 0 && metres > 0))
            {
                throw new CompileException(GdsiiCodes.BadRecord, "the UNITS record holds a unit that is not above zero", records.Place(), "export the stream again");
            }

            // Writers differ in the last bits of 1e-3 and 1e-9: a value this close to a whole number of picometres is one.
            double picometres = options.UnitNanometres is { } unit ? userUnits * unit * 1000 : metres * 1e12;
            double whole = Math.Round(picometres);
            unitPicometres = Math.Abs(picometres - whole) <= 1e-12 * picometres ? whole : picometres;
        }

        private void ReadExpected(GdsiiRecordType type)
        {
            try
            {
                records.Read();
            }
            catch (CompileException e) when (type == GdsiiRecordType.Header)
            {
                throw new CompileException(new Diagnostic(GdsiiCodes.NotGdsii, Severity.Error, "the file does not begin with a HEADER record", new(records.Name),
                    "this is not a GDSII stream"), e);
            }

            if (records.Type != type)
            {
                throw new CompileException(GdsiiCodes.NotGdsii, $"expected the record {type}, found {records.Type}", records.Place(),
                    "this is not a GDSII stream");
            }
        }

        private void ReadCells(GdsiiShapes shapes)
        {
            for (records.Read(); records.Type != GdsiiRecordType.EndLibrary; records.Read())
            {
                if (records.Type == GdsiiRecordType.BeginStructure)
                {
                    ReadCell(shapes);
                }
            }
        }

        private void ReadCell(GdsiiShapes shapes)
        {
            long position = records.Position;
            records.Read();
            string name = records.Type == GdsiiRecordType.StructureName ? records.Text() : "";
            if (name.Length == 0)
            {
                throw new CompileException(GdsiiCodes.BadRecord, "a cell without a name", records.Place(), "export the stream again");
            }

            if (!names.Add(name))
            {
                throw new CompileException(GdsiiCodes.DuplicateCell, $"cell {name} is defined twice", records.Place(), "rename one of them");
            }

            var cell = new GdsiiCell(name, position);
            ulong number = 0;
            for (records.Read(); records.Type != GdsiiRecordType.EndStructure; records.Read())
            {
                cancellation.ThrowIfCancellationRequested();
                number += IsElement(records.Type) ? 1UL : 0;
                ReadElement(cell, shapes, number);
            }

            cells.Add(cell);
        }

        private void ReadElement(GdsiiCell cell, GdsiiShapes shapes, ulong number)
        {
            switch (records.Type)
            {
                case GdsiiRecordType.Boundary or GdsiiRecordType.Box or GdsiiRecordType.Path:
                    element.Read(records);
                    AddShape(cell, shapes, number);
                    break;
                case GdsiiRecordType.StructureReference or GdsiiRecordType.ArrayReference:
                    element.Read(records);
                    shapes.Here = places.At(places.NumberOf(new(records.Name, NameOf(element.Kind), cell.Name, null, PlaceNumber.Element)), 0, number);
                    foreach (Instance instance in shapes.InstancesOf(element, cell.Name))
                    {
                        cell.Instances.Add((instance, element.Position));
                    }

                    break;
                case GdsiiRecordType.Text or GdsiiRecordType.Node:
                    element.Read(records);
                    Ignore(cell, null);
                    break;
                case GdsiiRecordType.EndLibrary or GdsiiRecordType.BeginStructure or GdsiiRecordType.EndElement:
                    throw new CompileException(GdsiiCodes.BadRecord, $"{records.Type} within cell {cell.Name}", records.Place(),
                        "the stream is damaged: export it again");
            }
        }

        // What a cell is counted by: every element of it, exposed or not.
        private static bool IsElement(GdsiiRecordType type) => type is
            GdsiiRecordType.Boundary or GdsiiRecordType.Box or GdsiiRecordType.Path or GdsiiRecordType.StructureReference
            or GdsiiRecordType.ArrayReference or GdsiiRecordType.Text or GdsiiRecordType.Node;

        // As the format's own description spells them.
        private static string NameOf(GdsiiRecordType kind) => kind switch
        {
            GdsiiRecordType.Boundary => "BOUNDARY",
            GdsiiRecordType.Box => "BOX",
            GdsiiRecordType.Path => "PATH",
            GdsiiRecordType.StructureReference => "SREF",
            _ => "AREF",
        };

        private void AddShape(GdsiiCell cell, GdsiiShapes shapes, ulong number)
        {
            if (element.Layer < 0)
            {
                throw new CompileException(GdsiiCodes.BadElement, $"{element.Kind} in cell {cell.Name} without a layer",
                    new(records.Name, 0, 0, $"byte {element.Position}"), "correct it in the drawing program and export again");
            }

            int layer = layers.IndexOf(element.Layer, element.DataType);
            if (layer < 0)
            {
                return;
            }

            shapes.Here = places.At(places.NumberOf(new(records.Name, NameOf(element.Kind), cell.Name, layers.NameAt(layer), PlaceNumber.Element)), 0, number);
            if (shapes.ShapeOf(element, cell.Name, layer, out string? reason) is { } shape)
            {
                cell.Shapes.Add(shape);
            }
            else
            {
                Ignore(cell, reason);
            }
        }

        private void Ignore(GdsiiCell cell, string? reason)
        {
            (string one, string many) = element.Kind switch
            {
                GdsiiRecordType.Text => ("label", "labels"),
                GdsiiRecordType.Node => ("net node", "net nodes"),
                _ => ($"{element.Kind} element", $"{element.Kind} elements"),
            };
            cell.Ignored.Add(one, many, GdsiiLayers.NameOf(element.Layer, element.DataType), reason, 1, isLoss: reason is not null);
        }

        private void Report(LayoutDocument layout, GdsiiShapes shapes)
        {
            if (shapes.SawAbsolute)
            {
                sink.Warn(GdsiiCodes.Absolute, "absolute widths or transformations are taken as relative", new(records.Name),
                    "check cells that are placed with a magnification");
            }

            shapes.Crossings.Report(sink, records.Name, options.GridPicometres);
            GdsiiContent.Check(layout, options, layers, records.Name);
            sink.Note(GdsiiCodes.SizeRead,
                $"read cell {layout.TopCell} with a database unit of {Number(unitPicometres / 1000)} nm: the drawing is {SizeText.Of(layout)}",
                new(records.Name));
        }

        private static string Number(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
    }
}
