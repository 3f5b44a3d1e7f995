using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Small inputs for the tests.</summary>
internal static class Patterns
{
    /// <summary>Two overlapping pads, a path, a circle and a line on two layers, 12 um wide.</summary>
    public const string Layout = """
        layout 1
        unit um
        grid 0.1 nm
        layer pads
        layer wires
        rect on pads from (-6, -6) to (-2, -2)
        rect on pads from (-3, -3) to (0, 0)
        circle on pads at (3, 3) radius 1.5
        line on wires (-5, 5) (5, 5.5)

        """;

    /// <summary>A DXF drawing in micrometres: one square of 4 um on layer PADS and a text that nobody writes.</summary>
    public static byte[] Dxf => Encoding.ASCII.GetBytes(string.Join('\n', [
        "0", "SECTION", "2", "HEADER", "9", "$INSUNITS", "70", "13", "0", "ENDSEC",
        "0", "SECTION", "2", "ENTITIES",
        "0", "LWPOLYLINE", "8", "PADS", "90", "4", "70", "1", "10", "-2", "20", "-2", "10", "2", "20", "-2", "10", "2", "20", "2", "10", "-2", "20", "2",
        "0", "TEXT", "8", "NOTES", "10", "0", "20", "0", "40", "1", "1", "hello",
        "0", "ENDSEC", "0", "EOF", ""]));
}
