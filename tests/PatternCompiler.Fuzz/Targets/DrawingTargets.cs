using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Fuzz.Mutation;
using PatternCompiler.Fuzz.Running;
using PatternCompiler.Jobs.Traces;
using PatternCompiler.Limits;
using PatternCompiler.Places;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>One target for each kind of drawing. All readers are asked through the one door that users come through.</summary>
internal static class DrawingTargets
{
    /// <summary>How drawings are read here.</summary>
    public static DrawingOptions Options { get; set; } = DrawingOptions.Default with { TextAsStrokes = true, Limits = WorkLimits.Usual.With(WorkKind.Expansion, 20_000) };

    /// <summary>The targets.</summary>
    public static IEnumerable<FuzzTarget> All =>
    [
        new("dxf", [.. Repository.Files("tests/Corpus/Dxf", "*.dxf", 25_000).Where(bytes => !IsBinaryDxf(bytes))], TextMutations.Pairs, Read)
        {
            Words = Repository.Words("0 2 10 20 11 21 40 41 42 50 51 62 70 71 72 73 90 91 92 93 98 100 210 230 999 SECTION ENDSEC ENTITIES BLOCKS BLOCK ENDBLK TABLES LAYER LINE LWPOLYLINE POLYLINE VERTEX SEQEND CIRCLE ARC ELLIPSE SPLINE HATCH INSERT TEXT MTEXT SOLID POINT MLINE DIMENSION EOF"),
        },
        new("dxf-binary", [.. Repository.Files("tests/Corpus/Dxf", "*.dxf").Where(IsBinaryDxf)], ByteMutations.All, Read),
        new("svg", [.. Repository.Files("tests/Corpus/Svg", "*.svg").SelectMany(SvgMutations.Parts), .. Svg.Select(Encoding.UTF8.GetBytes)], SvgMutations.All, Read)
        {
            LongestInput = 4096,
            Words = Repository.Words("svg g path rect circle ellipse line polyline polygon use symbol defs style clipPath mask text image switch marker transform viewBox preserveAspectRatio style class id d points fill stroke stroke-width stroke-linejoin stroke-linecap stroke-dasharray stroke-miterlimit fill-rule evenodd nonzero opacity none matrix( rotate( scale( skewX( translate( M L C Q A S T H V Z m l c q a z px mm cm in pt % xlink:href #a inherit currentColor url(#a) !important"),
        },
        new("gdsii", [.. Repository.Files("tests/Corpus/Gdsii", "*.gds")], RecordMutations.Gdsii.All, Read),
        new("oasis", [.. OasisSeeds.All], OasisMutations.All, Read),
        new("png", [.. Png], ByteMutations.All, (input, cancellation) => Read(input, Options with { UnitNanometres = 50 }, cancellation)) { Repair = Checksums.Png },
        new("layout", [.. Samples.Layouts.Select(Encoding.UTF8.GetBytes), .. Repository.Files("examples", "*.layout", 4000).Where(bytes => bytes.AsSpan().IndexOf("\ninclude"u8) < 0)], TextMutations.All, Read)
        {
            Words = Repository.Words("layout unit grid drawing layer let cell end place repeat as if else include rect circle ring polygon path line dot arc ellipse text hole part on from to at centre size radius diameter inner outer width ends rule dose rotate mirror scale columns rows column-step row-step column-dose row-dose height align flat round square evenodd nonzero x y um nm mm deg sin( cos( sqrt( abs( min( max( floor( pi (1, (0, 0)"),
        },
        new("places", [Encoding.UTF8.GetBytes(Places)], TextMutations.All, ReadPlaces)
        {
            Words = Repository.Words("places output field at made from layout unit grid layer origin named cell end place array rect circle polygon path line dot drawn handle name column element byte on 1/4/5 2/4/1 3/4/5+1/1/1 4/4/5/2/3 0/0/0 \"a\" \"b.dxf\""),
        },
    ];

    private const string Places =
        "places 1\noutput 896fe3bb7e814495bd5e02198ba6ce84fdd98c0adb7224bed0304f99eba12c91 \"a.stream\"\noutput 896fe3bb7e814495bd5e02198ba6ce84fdd98c0adb7224bed0304f99eba12c92 \"b.stream\" field \"r01c02\" at 16000000000 -5\n"
        + "made \"r\" from \"a\" \"b\"\nlayout 1\nunit um\ngrid 0.1 nm\nlayer a\nlayer b\norigin \"a.dxf\" \"LWPOLYLINE\" layer \"a\" handle\norigin \"a.svg\" \"rect\" layer \"b\" name\norigin \"a.gds\" \"AREF\" cell \"TOP\" element\nnamed \"via\"\n"
        + "cell c\n  rect on a drawn 1/4306/47 from (0, 0) to (4, 2)\n  polygon on b drawn 1/1/1+2/7/1 (0, 0) (4, 0) (4, 4)\n    hole (1, 1) (2, 1) (2, 2)\nend\narray c drawn 3/0/2 at (1, 1) rotate 30 columns 3 column-step 4 rows 2 row-step 5\nplace c drawn 3/0/9/2/1 at (0, 0)\n";

    private static IEnumerable<byte[]> Png =>
    [
        Checksums.PngOf(2, 2, 8, 0, [0, 0, 255, 1, 255, 0]),
        Checksums.PngOf(3, 2, 8, 2, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 4, 9, 8, 7, 6, 5, 4, 3, 2, 1]),
        Checksums.PngOf(9, 2, 1, 3, [0, 0xA5, 0x80, 2, 0x5A, 0], Checksums.Chunk("PLTE"u8, [0, 0, 0, 255, 255, 255]), Checksums.Chunk("tRNS"u8, [0])),
        Checksums.PngOf(1, 3, 16, 6, [0, 1, 2, 3, 4, 5, 6, 7, 8, 3, 1, 2, 3, 4, 5, 6, 7, 8, 1, 1, 2, 3, 4, 5, 6, 7, 8]),
    ];

    private static string[] Svg =>
    [
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"4mm\" height=\"3mm\" viewBox=\"0 0 40 30\"><style>.a{fill:none;stroke:#000;stroke-width:2} #b > rect{fill:red}</style><g id=\"b\" transform=\"translate(1,2) rotate(30)\"><rect x=\"1\" y=\"1\" width=\"5\" height=\"4\" rx=\"1\"/></g><path class=\"a\" d=\"M1 1L9 2C9 9 3 4 2 8A3 4 20 1 0 9 9q1 1 2 0t3 1z\" stroke-linejoin=\"round\"/></svg>",
        "<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\"><defs><symbol id=\"s\" viewBox=\"0 0 2 2\"><circle cx=\"1\" cy=\"1\" r=\"1\"/></symbol></defs><use xlink:href=\"#s\" x=\"3\" width=\"4\" height=\"4\"/><g opacity=\"0.5\"><ellipse rx=\"5\" ry=\"3\"/><line x2=\"9\" y2=\"9\" stroke=\"black\" stroke-linecap=\"square\"/></g></svg>",
    ];

    private static bool IsBinaryDxf(byte[] bytes) => bytes.AsSpan().StartsWith("AutoCAD Binary DXF"u8);

    private static void ReadPlaces(byte[] input, CancellationToken cancellation)
    {
        Trace trace = TraceFile.Read(new MemoryStream(input), "a.places", Options.Limits, cancellation);
        var search = new PlaceSearch(trace.Drawing);
        search.At(1500, 1200, "r", null);
        search.At(-1e6, 1e6, null, null);
    }

    private static void Read(byte[] input, CancellationToken cancellation) => Read(input, Options, cancellation);

    private static void Read(byte[] input, DrawingOptions options, CancellationToken cancellation) =>
        DrawingReader.Read(new MemoryStream(input), "drawing", options, new DiagnosticSink(), cancellation);
}
