using System.Text;
using System.Text.Json;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Oracles.BackEnds;

/// <summary>Streams that we write, read by gdspy (a Python library for the format, Debian package python3-gdspy).</summary>
public sealed class GdsiiWrittenTests
{
    private const string Layout = """
        layout 1
        unit um
        grid 0.1 nm
        layer "5/2"
        layer pads
        polygon on "5/2" (0, 0) (10, 0) (10, 10) (0, 10) hole (2, 2) (4, 2) (4, 4) (2, 4) hole (5, 5) (8, 5) (8, 8) (5, 8) part (6, 6) (7, 6) (7, 7) (6, 7)
        ring on pads at (30, 20) inner 1 outer 2.5
        circle on pads at (20, 20) radius 2
        path on pads width 0.5 (0, 30) (10, 30)
        path on pads width 0.5 ends square (0, 40) (10, 40)
        cell pad
          rect on pads from (0, 0) to (1, 2)
        end
        array pad at (50, 50) columns 4 column-step 5 rows 3 row-step (0, 7) rotate 90
        place pad at (-50, -50) mirror left-right scale 2 rotate 30

        """;

    [GdspyFact]
    public void Every_shape_has_the_area_of_its_closed_form()
    {
        string name = Path.GetTempFileName();
        try
        {
            LayoutDocument layout = DrawingReader.Read(new MemoryStream(Encoding.UTF8.GetBytes(Layout)), "a.layout", DrawingOptions.Default, new());
            using (FileStream output = File.Create(name))
            {
                DrawingWriter.Write(layout, DrawingFormat.Gdsii, output, DrawingWriteOptions.Default, new DiagnosticSink());
            }

            (int exitCode, string json, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, OutsidePrograms.Corpus("Gdsii", "measure-with-gdspy.py"), name);
            Assert.True(exitCode == 0, errors);
            using JsonDocument found = JsonDocument.Parse(json);
            Assert.Equal(1e-6, found.RootElement.GetProperty("unit").GetDouble(), 1e-20);
            Assert.Equal(1e-10, found.RootElement.GetProperty("precision").GetDouble(), 1e-24);
            JsonElement areas = found.RootElement.GetProperty("areas");

            // Exact: 100 − 4 − 9 + 1; holes on bridges count as holes.
            Assert.Equal(88, areas.GetProperty("5/2").GetDouble(), 1e-9);

            // Circles become polygons within 1 nm of the circle, on either side of it: 1 nm times the circumferences at most.
            double exact = (Math.PI * ((2.5 * 2.5) - 1 + 4)) + 5 + (10.5 * 0.5) + (2 * (12 + 4));
            Assert.Equal(exact, areas.GetProperty("1/0").GetDouble(), 2 * Math.PI * 5.5 * 0.001);
        }
        finally
        {
            File.Delete(name);
        }
    }
}
