using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf;
using static PatternCompiler.Tests.FrontEnds.Dxf.DxfTest;

namespace PatternCompiler.Tests.FrontEnds.Dxf;

public sealed class DxfBadInputTests
{
    [Theory]
    [InlineData("", "a.dxf: error PC0301: the file is empty; export the drawing again as DXF")]
    [InlineData("hello\nworld\n", "a.dxf:1: error PC0301: a DXF drawing begins with group code 0, found \"hello\"; export the drawing again as DXF")]
    [InlineData("0\nCIRCLE\n", "a.dxf:2: error PC0301: expected a section to start (group code 0, SECTION), found group code 0 and \"CIRCLE\"; this is not a DXF drawing, or a part of it is missing")]
    [InlineData("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\na\n10\n", "a.dxf:9: error PC0302: the file ends after group code 10, before its value; it was cut off: export or copy it again")]
    [InlineData("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\na\n", "a.dxf:8: error PC0302: the file ends within LINE; it was cut off: export or copy it again")]
    [InlineData("0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n", "a.dxf:8: error PC0302: the file ends within section HEADER; it was cut off: export or copy it again")]
    [InlineData("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\na\nx10\n0\n", "a.dxf:9: error PC0303: expected a group code (a whole number from -5 to 1071), found \"x10\"; a line was lost or added before this one: export the drawing again")]
    [InlineData("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\na\n99999\n0\n", "a.dxf:9: error PC0303: expected a group code (a whole number from -5 to 1071), found \"99999\"; a line was lost or added before this one: export the drawing again")]
    [InlineData("0\nSECTION\n2\nENTITIES\n0\nENDSEC\n0\nEOF\n", "a.dxf: error PC0312: the drawing has nothing that can be exposed; see the notes on what was ignored")]
    public void Files_that_are_no_drawing(string text, string message) => Assert.Equal(message, Error(text));

    [Theory]
    [InlineData("CIRCLE 8 a 10 NaN 20 0 40 1", "a.dxf:20: error PC0304: group code 10 takes a number, found \"NaN\"")]
    [InlineData("CIRCLE 8 a 10 1e999 20 0 40 1", "a.dxf:20: error PC0304: group code 10 takes a number, found \"1e999\"")]
    [InlineData("CIRCLE 8 a 10 1,5 20 0 40 1", "a.dxf:20: error PC0304: group code 10 takes a number, found \"1,5\"; write decimals with a point")]
    [InlineData("CIRCLE 8 a 10 0 20 0 40 0", "a.dxf:16 (CIRCLE on layer a): error PC0305: the radius is 0, it must be above zero; delete it or give it a size")]
    [InlineData("CIRCLE 8 a 10 0 40 1", "a.dxf:16 (CIRCLE on layer a): error PC0305: a circle needs a centre and a radius (group codes 10, 20, 40)")]
    [InlineData("CIRCLE 5 2F 8 pads 10 1e300 20 0 40 1", "a.dxf:16 (CIRCLE 2F on layer pads): error PC0306: reaches beyond ±107.4 mm at (1E+300, 0) um, read with 1 drawing unit = 1 um; check the drawing unit, and draw near the origin")]
    [InlineData("CIRCLE 8 a 10 107374 20 0 40 1", "a.dxf:16 (CIRCLE on layer a): error PC0306: reaches beyond ±107.4 mm at (107375, 1) um, read with 1 drawing unit = 1 um; check the drawing unit, and draw near the origin")]
    [InlineData("ARC 8 a 10 0 20 0 40 1e300 50 0 51 90", "a.dxf:16 (ARC on layer a): error PC0306: reaches beyond ±107.4 mm, read with 1 drawing unit = 1 um; check the drawing unit, and draw near the origin")]
    [InlineData("LWPOLYLINE 8 a 70 1 10 0 20 0 42 1e200 10 1 20 0", "a.dxf:16 (LWPOLYLINE on layer a): error PC0306: reaches beyond ±107.4 mm, read with 1 drawing unit = 1 um; check the drawing unit, and draw near the origin")]
    [InlineData("LINE 8 a 10 0 20 0 11 1", "a.dxf:16 (LINE on layer a): error PC0305: a line needs both end points (group codes 10, 20, 11, 21)")]
    [InlineData("INSERT 8 a 2 B 41 0", "a.dxf:16 (INSERT on layer a): error PC0305: block B is placed with a scale of zero; give it a scale or delete it")]
    public void Entities_that_cannot_be(string entity, string message) => Assert.Equal(message, Error(Drawing(entity)));

    [Fact]
    public void Other_files_are_named_for_what_they_are()
    {
        Assert.Equal("a.dxf: error PC0301: the file is a picture, not a DXF drawing; export the drawing again as DXF", ErrorOf([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10]));
        Assert.Equal("a.dxf: error PC0301: the file is UTF-16 text; DXF is ASCII or UTF-8; export the drawing again as DXF", ErrorOf(Encoding.Unicode.GetPreamble().Concat(Encoding.Unicode.GetBytes(Drawing())).ToArray()));
        byte[] noise = new byte[100_000];
        new Random(1).NextBytes(noise);
        Assert.StartsWith("a.dxf:1: error PC0301", ErrorOf(noise), StringComparison.Ordinal);
        byte[] letters = new byte[100_000];
        Array.Fill(letters, (byte)'x');
        Assert.Equal("a.dxf:1: error PC0301: a line longer than 65536 bytes follows; this is not a DXF text file", ErrorOf(letters));
    }

    [Fact]
    public void A_drawing_cut_at_any_byte_gives_one_error_or_the_whole_drawing()
    {
        byte[] whole = Encoding.UTF8.GetBytes(WithBlocks(
            ["BLOCK 2 PAD 10 1 20 1", "LWPOLYLINE 8 0 70 1 10 1 20 1 42 0.5 10 4 20 1 10 4 20 2", "ENDBLK"],
            "CIRCLE 5 1F 8 a 10 0 20 0 40 1.5", "INSERT 8 b 2 PAD 10 5 20 6 50 90 70 4 71 3 44 10 45 20", "LINE 8 a 10 1 20 2 11 3 21 4",
            "POLYLINE 8 a 70 1 0 VERTEX 10 0 20 0 0 VERTEX 10 2 20 0 0 VERTEX 10 2 20 2 0 SEQEND"));
        int complete = 0;
        for (int length = 0; length < whole.Length; length++)
        {
            try
            {
                DxfReader.Read(new MemoryStream(whole, 0, length), "cut.dxf", DrawingOptions.Default, new(), default);
                complete++;
            }
            catch (CompileException e)
            {
                Assert.StartsWith("cut.dxf", e.Message, StringComparison.Ordinal);
            }
        }

        // Only what follows the last section may be missing: its line end, the end marker and what is around it.
        Assert.InRange(complete, 1, 16);
    }

    [Fact]
    public void A_drawing_with_any_byte_changed_gives_one_error_or_a_drawing()
    {
        byte[] whole = File.ReadAllBytes(CorpusPath("ezdxf-sensor-R12.dxf"));
        var random = new Random(7);
        for (int i = 0; i < 1000; i++)
        {
            byte[] changed = (byte[])whole.Clone();
            for (int k = 0; k < 1 + (i % 4); k++)
            {
                changed[random.Next(changed.Length)] = (byte)random.Next(i % 2 == 0 ? 256 : 128);
            }

            try
            {
                DxfReader.Read(new MemoryStream(changed), "a.dxf", DrawingOptions.Default, new(), default);
            }
            catch (CompileException)
            {
                // One clear error is what the user shall get; anything else fails the test.
            }
        }
    }

    // Pairs removed, repeated, exchanged, given another group code or an extreme value.
    [Fact]
    public void A_drawing_with_pairs_disturbed_gives_one_error_or_a_drawing()
    {
        string[] extremes = ["0", "-1", "1e300", "1e-300", "NaN", "65535", "2147483647", "-2147483648", "9999999999999", "180", "", "abc"];
        int[] codes = [0, 2, 8, 10, 11, 20, 21, 40, 41, 42, 43, 50, 51, 67, 70, 71, 72, 73, 75, 91, 92, 93, 95, 96, 97, 230];
        string[] whole = File.ReadAllLines(CorpusPath("ezdxf-curves.dxf"));
        var random = new Random(3);
        for (int i = 0; i < 400; i++)
        {
            List<string> lines = [.. whole];
            for (int k = 0; k <= i % 5; k++)
            {
                int pair = random.Next(lines.Count / 2) * 2;
                int other = random.Next(lines.Count / 2) * 2;
                switch (random.Next(5))
                {
                    case 0:
                        lines.RemoveRange(pair, 2);
                        break;
                    case 1:
                        lines.InsertRange(pair, lines.GetRange(pair, 2));
                        break;
                    case 2:
                        lines[pair + 1] = extremes[random.Next(extremes.Length)];
                        break;
                    case 3:
                        lines[pair] = codes[random.Next(codes.Length)].ToString(System.Globalization.CultureInfo.InvariantCulture);
                        break;
                    default:
                        (lines[pair], lines[other]) = (lines[other], lines[pair]);
                        (lines[pair + 1], lines[other + 1]) = (lines[other + 1], lines[pair + 1]);
                        break;
                }
            }

            try
            {
                Read(string.Join('\n', lines), new DrawingOptions { TextAsStrokes = true });
            }
            catch (CompileException)
            {
                // One clear error is what the user shall get; anything else fails the test.
            }
        }
    }

    [Fact]
    public void A_missing_end_marker_is_a_warning() => Assert.Contains(
        "a.dxf:26: warning PC0321: the file ends without its EOF marker",
        Messages(Drawing("CIRCLE 8 a 10 0 20 0 40 1").Replace("\n0\nEOF\n", "\n", StringComparison.Ordinal)));

    [Fact]
    public void An_unknown_unit_number_is_an_error() => Assert.Equal(
        "a.dxf:8: error PC0314: $INSUNITS is 99, which stands for no unit of length; state the drawing unit",
        Error(Drawing("POINT 8 a 10 0 20 0").Replace("\n13\n", "\n99\n", StringComparison.Ordinal)));

    [Fact]
    public void Options_that_make_no_sense_are_refused()
    {
        string text = Drawing("POINT 8 a 10 0 20 0");
        Assert.Equal("error PC0324: the chord error must be half a grid step or more", Error(text, new DrawingOptions { ChordErrorNanometres = 0.01 }));
        Assert.Equal("error PC0324: the joining gap must be zero or more", Error(text, new DrawingOptions { JoinGapNanometres = double.NaN }));
        Assert.Equal("error PC0324: the drawing unit must be above zero", Error(text, new DrawingOptions { UnitNanometres = 0 }));
    }

    private static string ErrorOf(byte[] bytes) => Assert.Throws<CompileException>(
        () => DxfReader.Read(new MemoryStream(bytes), "a.dxf", DrawingOptions.Default, new(), default)).Message;
}
