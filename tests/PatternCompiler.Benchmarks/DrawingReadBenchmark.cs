using System.Text;
using BenchmarkDotNet.Attributes;
using PatternCompiler.BackEnds.Drawing;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.Benchmarks;

/// <summary>How fast drawings are read: bytes of the file over the mean time. Files are about 20 MB.</summary>
[MemoryDiagnoser]
public class DrawingReadBenchmark
{
    private byte[] polylines = [];
    private byte[] looseLines = [];
    private byte[] gdsii = [];

    /// <summary>Makes the drawings.</summary>
    [GlobalSetup]
    public void MakeDrawings()
    {
        polylines = Dxf(25_000, (text, x, y) =>
        {
            text.Append("0\nLWPOLYLINE\n5\n2F\n100\nAcDbEntity\n8\nmetal\n100\nAcDbPolyline\n90\n20\n70\n1\n");
            for (int i = 0; i < 20; i++)
            {
                text.Append(FormattableString.Invariant($" 10\n{x + (i % 7 * 0.31):F9}\n 20\n{y + (i * 0.17):F9}\n"));
            }
        });
        looseLines = Dxf(45_000, (text, x, y) =>
        {
            (double X, double Y)[] corners = [(x, y), (x + 0.7, y), (x + 0.7, y + 0.7), (x, y + 0.7)];
            for (int i = 0; i < 4; i++)
            {
                (double X, double Y) a = corners[i];
                (double X, double Y) b = corners[(i + 1) % 4];
                text.Append(FormattableString.Invariant($"0\nLINE\n5\n2F\n100\nAcDbEntity\n8\nmetal\n100\nAcDbLine\n 10\n{a.X:F6}\n 20\n{a.Y:F6}\n 11\n{b.X:F6}\n 21\n{b.Y:F6}\n"));
            }
        });
        var random = new Random(1);
        Shape[] squares =
        [
            .. Enumerable.Range(0, 300_000).Select(_ => (random.Next(10_000_000), random.Next(10_000_000)))
                .Select(p => new RectangleShape(0, DoseFactor.One, p.Item1, p.Item2, p.Item1 + 7000, p.Item2 + 7000)),
        ];
        using var stream = new MemoryStream();
        DrawingWriter.Write(
            new LayoutDocument(100, ["1"], [new Cell("TOP", [.. squares], [])], "TOP"),
            DrawingFormat.Gdsii, stream, DrawingWriteOptions.Default, new DiagnosticSink());
        gdsii = stream.ToArray();
    }

    /// <summary>Closed polylines of twenty corners.</summary>
    [Benchmark]
    public object DxfPolylines() => Read(polylines);

    /// <summary>Squares of loose lines, joined.</summary>
    [Benchmark]
    public object DxfLooseLines() => Read(looseLines);

    /// <summary>Squares.</summary>
    [Benchmark]
    public object GdsiiSquares() => Read(gdsii);

    private static LayoutDocument Read(byte[] file) =>
        DrawingReader.Read(new MemoryStream(file), "drawing", DrawingOptions.Default, new DiagnosticSink());

    private static byte[] Dxf(int count, Action<StringBuilder, double, double> add)
    {
        var random = new Random(1);
        var text = new StringBuilder("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n13\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n");
        for (int i = 0; i < count; i++)
        {
            add(text, random.NextDouble() * 1000, random.NextDouble() * 1000);
        }

        return Encoding.ASCII.GetBytes(text.Append("0\nENDSEC\n0\nEOF\n").ToString());
    }
}
