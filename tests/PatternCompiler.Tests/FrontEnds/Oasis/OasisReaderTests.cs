using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Oasis;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using static PatternCompiler.Tests.FrontEnds.Oasis.OasisFile;

namespace PatternCompiler.Tests.FrontEnds.Oasis;

public sealed class OasisReaderTests
{
    // Info bytes, from the highest bit: rectangle square, width, height, x, y, repetition, data type, layer.
    private static OasisFile Square(OasisFile file, int layer = 5, int size = 100, int x = 0, int y = 0) =>
        file.B(20, 0b1101_1011).U(layer, 2).U(size).I(x, y);

    [Fact]
    public void Rectangles_and_values_left_out()
    {
        byte[] file = Start().Cell("TOP")
            .B(20, 0b0111_1011).U(5, 2).U(1000, 500).I(-100, 200)
            .B(20, 0b0000_1000).I(2000)           // y alone: the rest is as before
            .B(20, 0b1100_0001).U(7).U(30)        // a square on another layer, at the same place
            .B(20, 0b0001_0000).I(0)              // its height is its width from now on
            .End();
        Assert.Equal(
            """
            rect on 5/2 from (-0.1, 0.2) to (0.9, 0.7)
            rect on 5/2 from (-0.1, 2) to (0.9, 2.5)
            rect on 7/2 from (-0.1, 2) to (-0.07, 2.03)
            rect on 7/2 from (0, 2) to (0.03, 2.03)
            """,
            Shapes(file));
    }

    // Point lists of all six types, each around the same square of 10 or along the same way.
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(4)]
    [InlineData(5)]
    public void Point_lists_of_every_type(int type)
    {
        OasisFile list = Part();
        _ = type switch
        {
            0 => list.U(0, 2).I(10, 10),                                // right, up; the last corner follows
            1 => list.U(1, 2).I(10, 10),                                // up, right
            2 => list.U(2, 3).U((10 << 2) | 0, (10 << 2) | 1, (10 << 2) | 2),
            3 => list.U(3, 3).U((10 << 3) | 0, (10 << 3) | 1, (10 << 3) | 2),
            4 => list.U(4, 3).G(10, 0).U((10 << 4) | (1 << 1)).G(-10, 0),
            _ => list.U(5, 3).G(10, 0).G(-10, 10).G(-10, -10),          // each adds to the one before
        };
        var polygon = (PolygonShape)Read(AppendedPolygon(list)).Cells[0].Shapes[0];
        GridPoint[] expected = type == 1 ? [new(0, 0), new(0, 100), new(100, 100), new(100, 0)] : [new(0, 0), new(100, 0), new(100, 100), new(0, 100)];
        Assert.Equal(expected, polygon.Contours[0].ToArray());

        static byte[] AppendedPolygon(OasisFile points)
        {
            byte[] list = points.End()[..^256];
            return Start().Cell("TOP").B(21, 0b0010_0011).U(1, 0).B(list).End();
        }
    }

    // Directions of the short forms: east, north, west, south, north-east, north-west, south-west, south-east.
    [Fact]
    public void Diagonal_steps_move_both_ways()
    {
        byte[] file = Start().Cell("TOP").B(21, 0b0010_0011).U(1, 0).U(3, 7)
            .U((7 << 3) | 4, (7 << 3) | 5, (3 << 3) | 2, (7 << 3) | 6, (2 << 3) | 3, (1 << 3) | 7, (1 << 3) | 0).End();
        var polygon = (PolygonShape)Read(file).Cells[0].Shapes[0];
        Assert.Equal(
            [new(0, 0), new(70, 70), new(0, 140), new(-30, 140), new(-100, 70), new(-100, 50), new(-90, 40), new(-80, 40)],
            polygon.Contours[0].ToArray());
    }

    // Extension scheme 0000SSEE: 1 flush, 2 half the width, 3 by a length of its own.
    [Fact]
    public void Paths_with_every_end()
    {
        byte[] file = Start().Cell("TOP")
            .B(22, 0b1110_0011).U(1, 0).U(20).U(0b0101).U(4, 1).G(100, 0)
            .B(22, 0b1000_1000).U(0b1010).I(100)
            .B(22, 0b1000_1000).U(0b1111).I(5, -7).I(200)
            .B(22, 0b1000_1000).U(0b0001).I(300)     // the start as before: 5 in front
            .B(22, 0b0100_1000).U(0).I(400)
            .End();
        Assert.Equal(
            """
            path on 1/0 width 0.04 (0, 0) (0.1, 0)
            path on 1/0 width 0.04 ends square (0, 0.1) (0.1, 0.1)
            path on 1/0 width 0.04 (-0.005, 0.2) (0.093, 0.2)
            path on 1/0 width 0.04 (-0.005, 0.3) (0.1, 0.3)
            line on 1/0 (0, 0.4) (0.1, 0.4)
            """,
            Shapes(file));
    }

    // An extension below zero shortens; both ends together may leave nothing.
    [Fact]
    public void Paths_shortened_past_their_ends()
    {
        byte[] file = Start().Cell("TOP")
            .B(22, 0b1110_0011).U(1, 0).U(20).U(0b1111).I(-100, 50).U(4, 1).G(100, 0)
            .B(22, 0b1000_1000).U(0b1111).I(-60, -60).I(100)
            .B(22, 0b1000_1000).U(0b1111).I(-60, -40).I(200)
            .End();
        var sink = new DiagnosticSink();
        Assert.Equal("path on 1/0 width 0.04 (0.1, 0) (0.15, 0)", Shapes(file));
        Read(file, null, sink);
        Assert.Equal("a.oas: warning PC0586: not exposed: 2 shapes without area or length on layer 1/0; correct or delete them in the drawing program", sink.Collected[0].ToString());
    }

    [Fact]
    public void Circles() => Assert.Equal(
        "circle on 1/0 at (0.01, -0.02) radius 0.05",
        Shapes(Start().Cell("TOP").B(27, 0b0011_1011).U(1, 0).U(50).I(10, -20).End()));

    // SEMI P39, 28 (from memory): delta a leads from the lower to the upper end of the left side, b of the right one; upright
    // ones are turned a quarter counter-clockwise, so that a leads from right to left below, and b above. Areas of trapezoids: half the sum of the parallel sides times their distance.
    [Theory]
    [InlineData(23, false, 20, -10, "(0, 0) (100, 0) (90, 50) (20, 50)", (100 + 70) * 50 / 2)]
    [InlineData(23, false, -20, 10, "(20, 0) (90, 0) (100, 50) (0, 50)", (100 + 70) * 50 / 2)]
    [InlineData(24, false, 20, 0, "(0, 0) (100, 0) (100, 50) (20, 50)", (100 + 80) * 50 / 2)]
    [InlineData(25, false, 0, -10, "(0, 0) (100, 0) (90, 50) (0, 50)", (100 + 90) * 50 / 2)]
    [InlineData(23, true, 20, -10, "(0, 20) (100, 0) (100, 50) (0, 40)", (50 + 20) * 100 / 2)]
    [InlineData(23, true, -20, 10, "(0, 0) (100, 20) (100, 40) (0, 50)", (50 + 20) * 100 / 2)]
    [InlineData(24, true, 20, 0, "(0, 20) (100, 0) (100, 50) (0, 50)", (50 + 30) * 100 / 2)]
    [InlineData(25, true, 0, 20, "(0, 0) (100, 0) (100, 30) (0, 50)", (50 + 30) * 100 / 2)]
    public void Trapezoids(int record, bool isUpright, int first, int second, string corners, int area)
    {
        OasisFile file = Start().Cell("TOP").B((byte)record, (byte)(isUpright ? 0b1110_0011 : 0b0110_0011)).U(1, 0).U(100, 50);
        file = record == 23 ? file.I(first, second) : file.I(record == 24 ? first : second);
        var polygon = (PolygonShape)Read(file.End()).Cells[0].Shapes[0];
        Assert.Equal(corners, string.Join(' ', polygon.Contours[0].ToArray().Select(p => $"({p.X / 10}, {p.Y / 10})")));
        Assert.Equal(area * 100.0, (double)ExactArea.Twice(polygon.Contours[0]) / 2);
    }

    // Compact trapezoids in a box of 100 × 30 or 30 × 100: their slanted sides run at 45 degrees, so each cuts off half a square
    // of the shorter side; the triangles by their own formulas. Areas worked out by hand.
    [Theory]
    [InlineData(0, 100, 30, 3000 - 450)]
    [InlineData(1, 100, 30, 3000 - 450)]
    [InlineData(2, 100, 30, 3000 - 450)]
    [InlineData(3, 100, 30, 3000 - 450)]
    [InlineData(4, 100, 30, 3000 - 900)]
    [InlineData(5, 100, 30, 3000 - 900)]
    [InlineData(6, 100, 30, 3000 - 900)]
    [InlineData(7, 100, 30, 3000 - 900)]
    [InlineData(8, 30, 100, 3000 - 450)]
    [InlineData(9, 30, 100, 3000 - 450)]
    [InlineData(10, 30, 100, 3000 - 450)]
    [InlineData(11, 30, 100, 3000 - 450)]
    [InlineData(12, 30, 100, 3000 - 900)]
    [InlineData(13, 30, 100, 3000 - 900)]
    [InlineData(14, 30, 100, 3000 - 900)]
    [InlineData(15, 30, 100, 3000 - 900)]
    [InlineData(16, 30, 0, 450)]
    [InlineData(17, 30, 0, 450)]
    [InlineData(18, 30, 0, 450)]
    [InlineData(19, 30, 0, 450)]
    [InlineData(20, 0, 30, 900)]
    [InlineData(21, 0, 30, 900)]
    [InlineData(22, 30, 0, 900)]
    [InlineData(23, 30, 0, 900)]
    [InlineData(24, 100, 30, 3000)]
    [InlineData(25, 30, 0, 900)]
    public void Compact_trapezoids(int type, int width, int height, int area)
    {
        int info = 0b1000_0011 | (width > 0 ? 0b0100_0000 : 0) | (height > 0 ? 0b0010_0000 : 0);
        OasisFile file = Start().Cell("TOP").B(26, (byte)info).U(1, 0).U(type);
        file = width > 0 ? file.U(width) : file;
        file = height > 0 ? file.U(height) : file;
        var polygon = (PolygonShape)Read(file.End()).Cells[0].Shapes[0];
        Assert.Equal(area * 100.0, (double)ExactArea.Twice(polygon.Contours[0]) / 2);
        GridPoint[] corners = polygon.Contours[0].ToArray();
        Assert.Equal((0, 0), (corners.Min(p => p.X), corners.Min(p => p.Y)));
        Assert.All(corners.Zip([.. corners.Skip(1), corners[0]]), edge =>
        {
            (int dx, int dy) = (Math.Abs(edge.First.X - edge.Second.X), Math.Abs(edge.First.Y - edge.Second.Y));
            Assert.True(dx == 0 || dy == 0 || dx == dy);
        });
    }

    [Fact]
    public void Placements_by_name_and_number_turned_and_magnified()
    {
        OasisFile file = Square(Start().Cell("A"))
            .U(13, 0)
            .B(17, 0b1011_0000).S("A").I(1000, 2000)
            .B(17, 0b0011_0011).I(0, 0)                                  // A again, flipped and turned by 90 degrees
            .B(18, 0b1110_0110).U(1).U(4, 5, 2).U(7).B(0, 0, 0, 0, 0, 0x80, 0x46, 0x40).I(-10) // 5/2 and 45.0 as a double
            .U(13, 1);
        byte[] whole = Square(file, 9)
            .U(4).S("TOP").U(0).U(4).S("B").U(1).End();
        LayoutDocument layout = Read(whole);
        Assert.Equal("TOP", layout.TopCell);
        Instance[] instances = [.. layout.Cells[^1].Instances];
        Assert.Equal(["A", "A", "B"], instances.Select(i => i.CellName));
        Assert.Equal([new(10_000, 20_000), new(0, 0), new(-100, 0)], instances.Select(i => i.Origin));
        Assert.Equal([new(0, 1, 1), new(90, 1, -1), new(45, 2.5, 2.5)], instances.Select(i => i.Orientation));
    }

    [Fact]
    public void Names_in_order_are_numbered_from_zero() => Assert.Equal(
        ["A", "TOP"],
        Read(Square(Start().U(3).S("TOP").U(3).S("A").U(13, 1)).U(13, 0).B(17, 0b1100_0000).U(1).End()).Cells.Select(c => c.Name));

    // Repetitions of a placed cell: places of the copies from the first, in units.
    [Theory]
    [InlineData(1, "0,0 7,0 14,0 0,9 7,9 14,9")]
    [InlineData(2, "0,0 7,0 14,0")]
    [InlineData(3, "0,0 0,9 0,18")]
    [InlineData(4, "0,0 7,0 10,0")]
    [InlineData(5, "0,0 70,0 100,0")]
    [InlineData(6, "0,0 0,7 0,10")]
    [InlineData(7, "0,0 0,70 0,100")]
    [InlineData(8, "0,0 7,1 14,2 -2,9 5,10 12,11")]
    [InlineData(9, "0,0 7,1 14,2")]
    [InlineData(10, "0,0 7,1 5,10")]
    [InlineData(11, "0,0 70,10 50,100")]
    public void Repetitions_of_every_type(int type, string places)
    {
        OasisFile file = Square(Start().Cell("A")).Cell("TOP").B(17, 0b1000_1000).S("A").U(type);
        _ = type switch
        {
            1 => file.U(1, 0, 7, 9),
            2 => file.U(1, 7),
            3 => file.U(1, 9),
            4 or 6 => file.U(1, 7, 3),
            5 or 7 => file.U(1, 10, 7, 3),
            8 => file.U(1, 0).G(7, 1).G(-2, 9),
            9 => file.U(1).G(7, 1),
            10 => file.U(1).G(7, 1).G(-2, 9),
            _ => file.U(1, 10).G(7, 1).G(-2, 9),
        };
        file.B(17, 0b0010_1000).I(1000).U(0); // the same once more, a micrometre to the right
        string[] found = [.. Read(file.End()).Cells[^1].Instances.SelectMany(Copies).Select(p => $"{p.X / 10},{p.Y / 10}")];
        string[] expected = places.Split(' ');
        Assert.Equal(expected, found[..expected.Length]);
        Assert.Equal(2 * expected.Length, found.Length);
    }

    [Fact]
    public void Repeated_shapes_stay_arrays_however_many()
    {
        OasisFile file = Start().Cell("TOP").B(20, 0b1100_0111).U(1, 0).U(5).U(1, 999_998, 999_998, 10, 10);
        LayoutDocument layout = Read(file.End());
        Assert.Equal(["repeated shape 1", "TOP"], layout.Cells.Select(c => c.Name));
        Assert.Equal(new Repetition(1_000_000, 1_000_000, new(100, 0), new(0, 100)), layout.Cells[1].Instances[0].Repetition);
        Assert.Equal(4, Read(Start().Cell("TOP").B(20, 0b1100_0111).U(1, 0).U(5).U(1, 0, 0, 10, 10).End()).Cells[0].Shapes.Length);
    }

    [Fact]
    public void Relative_places_add_up() => Assert.Equal(
        """
        rect on 5/2 from (0.01, 0.02) to (0.11, 0.12)
        rect on 5/2 from (0.02, 0.04) to (0.12, 0.14)
        rect on 5/2 from (0.01, 0.04) to (0.11, 0.14)
        """,
        Shapes(Square(Start().Cell("TOP").U(16), x: 10, y: 20).B(20, 0b0001_1000).I(10, 20).U(15).B(20, 0b0001_0000).I(10).End()));

    [Fact]
    public void Compressed_blocks_are_read_as_if_they_were_not()
    {
        OasisFile part = Square(Part(), x: 70);
        Assert.Equal(
            "rect on 5/2 from (0, 0) to (0.1, 0.1)\nrect on 5/2 from (0.07, 0) to (0.17, 0.1)\nrect on 5/2 from (0.07, 0.009) to (0.17, 0.109)",
            Shapes(Square(Start().Cell("TOP")).Block(part).B(20, 0b0000_1000).I(9).End(1)));
    }

    [Fact]
    public void What_is_not_exposed_is_counted_and_properties_are_passed_over()
    {
        OasisFile file = Square(Start().U(7).S("P").U(9).S("V").U(11).S("METAL").U(3, 5, 4, 0, 9).Cell("TOP"))
            .B(28, 0b0010_0110).U(0).U(8, 77).U(12).S("x").B(29)      // two values: 77 and a string; then the same again
            .B(19, 0b0101_1111).S("label").U(10, 3).I(1, 2).U(2, 1, 5) // three labels
            .B(33, 0b0000_0000).U(1).S("abc")
            .B(20, 0b0010_0000).U(0);                                  // a rectangle without height
        var sink = new DiagnosticSink();
        Read(file.End(2), null, sink);
        Assert.Equal(
            [
                "a.oas: note PC0558: ignored 3 labels on layer 10/3",
                "a.oas: warning PC0586: not exposed: 1 extension geometry on layer 5/2; correct or delete them in the drawing program",
                "a.oas: warning PC0586: not exposed: 1 shape without area or length on layer 5/2; correct or delete them in the drawing program",
                "a.oas: note PC0560: read cell TOP with a grid of 1 nm: the drawing is 0.1 × 0.1 um",
            ],
            sink.Collected.Select(d => d.ToString()));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(2)]
    public void Signatures_are_checked(int scheme)
    {
        byte[] file = Square(Start().Cell("TOP"), size: 123).End(scheme);
        Assert.Single(Read(file).Cells);
        int damaged = Array.LastIndexOf(file, (byte)123, file.Length - 257);
        file[damaged]--;
        if (scheme == 0)
        {
            Assert.Single(Read(file).Cells);
        }
        else
        {
            Assert.Matches("^a.oas \\(byte [0-9]+\\): error PC0555: the file's signature is [0-9A-F]{8}, its bytes make [0-9A-F]{8}; it was damaged: copy or export it again$", Error(file));
        }
    }

    // Check value of CRC-32 by ISO 3309, as catalogues of checksums give it for the digits 1 to 9.
    [Fact]
    public void The_crc_has_its_published_check_value()
    {
        var signature = new OasisSignature();
        signature.Add("123456789"u8);
        Assert.Equal((0xCBF43926u, 477u), (signature.Crc32, signature.Checksum32));
    }

    // START ends at byte 34, the cell's record at 39.
    [Fact]
    public void Faulty_files_give_one_error()
    {
        Assert.Equal("a.oas: error PC0551: the file does not begin with %SEMI-OASIS; this is not an OASIS file", Error([.. "%SEMI-OASIX\r\n"u8]));
        Assert.Equal("a.oas (byte 13): error PC0551: there is no START record of version 1.0; this is not an OASIS file, or one of a later version", Error(Part().B([.. "%SEMI-OASIS\r\n"u8]).U(1).S("2.0").End()));
        Assert.Equal("a.oas (byte 42): error PC0554: the layer is left out, and no record before sets it; the file is damaged: export it again", Error(Start().Cell("TOP").B(20, 0b1100_0000).U(5).End()));
        Assert.Equal("a.oas (byte 35): error PC0553: an object before the first cell; the file is damaged: export it again", Error(Start().B(20, 0).End()));
        Assert.Equal("a.oas (byte 40): error PC0553: a record of type 99, which has no place here; the file is damaged: export it again", Error(Start().Cell("TOP").U(99).End()));
        Assert.Equal("a.oas (byte 48): error PC0506: cell number 7 has no name; the file is damaged: export it again", Error(Square(Start().Cell("TOP")).U(13, 7).End()));
        Assert.Contains("PC0553: compressed blocks that expand to 9000000000 bytes and more", Error(Start().Cell("TOP").Block(Part().B(new byte[1000]), 9_000_000_000).End()), StringComparison.Ordinal);
        Assert.Contains("PC0553: a compressed block does not have the length that it states", Error(Start().Cell("TOP").Block(Part().B(new byte[1000]), 900).End()), StringComparison.Ordinal);
        Assert.Contains("PC0553: a compressed block does not have the length that it states", Error(Start().Cell("TOP").Block(Part().B(new byte[1000]), 1100).End()), StringComparison.Ordinal);
        Assert.Equal("a.oas (byte 48): error PC0553: a trapezoid with crossing sides: its box is too small for their slant; the file is damaged: export it again", Error(Start().Cell("TOP").B(23, 0b0110_0011).U(1, 0).U(100, 50).I(20, -90).End()));
        Assert.Contains("PC0553: a trapezoid with crossing sides", Error(Start().Cell("TOP").B(26, 0b1110_0011).U(1, 0).U(5).U(50, 30).End()), StringComparison.Ordinal);
        Assert.Contains("PC0557: more than 4000000 copies at irregular distances, and than bytes in the file", Error(Start().Cell("TOP").B(20, 0b1100_0111).U(1, 0).U(5).U(4, 3_000_000 - 2).B([.. Enumerable.Repeat((byte)1, 2_999_999)]).B(20, 4).U(0).B(20, 4).U(0).End()), StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_cut_anywhere_gives_one_error()
    {
        byte[] whole = Sample();
        for (int length = 0; length < whole.Length; length++)
        {
            Assert.Throws<CompileException>(() => Read(whole[..length]));
        }

        Assert.NotNull(Read(whole));
    }

    [Fact]
    public void A_file_with_any_byte_changed_gives_one_error_or_a_drawing()
    {
        // Without a signature, which would catch most changes.
        byte[] whole = Sample(0);
        for (int i = 0; i < whole.Length - 250; i++)
        {
            foreach (byte change in (byte[])[0x00, 0x01, 0x7f, 0x80, 0xff, (byte)(whole[i] ^ 0x10)])
            {
                byte[] changed = (byte[])whole.Clone();
                changed[i] = change;
                try
                {
                    Read(changed);
                }
                catch (CompileException)
                {
                    // One clear error is what the user shall get; anything else fails the test.
                }
            }
        }
    }

    [Fact]
    public void The_drawing_reader_knows_it_by_its_first_bytes() => Assert.Equal("TOP", DrawingReader.Read(
        new MemoryStream(Square(Start().Cell("TOP")).End()), "x", DrawingOptions.Default, new()).TopCell);

    private static byte[] Sample(int scheme = 1) => Square(Start().U(3).S("A").Cell("TOP"))
        .B(21, 0b0011_1011).U(1, 0).U(4, 3).G(100, 3).G(-20, 70).U((5 << 4) | (6 << 1)).I(3, 4)
        .B(22, 0b1110_0011).U(1, 0).U(20).U(0b1101).I(5).U(2, 2).U(400, 401)
        .B(23, 0b0110_0011).U(2, 1).U(100, 50).I(5, -5)
        .B(26, 0b1110_0111).U(2, 1).U(4).U(100, 30).U(1, 3, 2, 200, 300)
        .B(27, 0b0010_0111).U(2, 1).U(50).U(10, 1).G(100, 3).G(-7, 9)
        .B(17, 0b1111_1101).U(0).I(5, 6).U(8, 1, 2).G(10, 20).G(-30, 40)
        .B(18, 0b1011_0111).S("B").U(0, 2).U(4, 45, 2).I(1, 1)
        .Block(Square(Square(Part().U(13, 0)).Cell("B"), 3)).End(scheme);

    private static IEnumerable<(long X, long Y)> Copies(Instance instance)
    {
        Repetition r = instance.Repetition;
        for (int j = 0; j < r.Rows; j++)
        {
            for (int i = 0; i < r.Columns; i++)
            {
                yield return (
                    instance.Origin.X + ((long)i * r.ColumnStep.X) + ((long)j * r.RowStep.X),
                    instance.Origin.Y + ((long)i * r.ColumnStep.Y) + ((long)j * r.RowStep.Y));
            }
        }
    }
}
