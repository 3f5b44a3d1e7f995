using System.Text;
using System.Text.Json;
using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Tests.Prediction.Estimate;

public class EstimatorTests
{
    private static readonly Machine Machine = new(
        "teaching-sem",
        new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode),
        new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity),
        new SettleModel(10e-6, 5e-6, 0),
        new Clock(10e6, 5, 1_000_000),
        new Blanker(true, true, 1e-6, 1e-6, 0),
        new Beam(100e-12, 10, 30_000),
        new Link(1e6, 4096, true));

    private static readonly RecordsHeader Header = new(
        "teaching-sem", Machine.Dac, 10e6, 5, 1_000_000, 100_000.0 / 65536, 100_000.0 / 65536, false);

    [Fact]
    public void The_table_reads_as_a_whole()
    {
        string table = EstimateText.Format(Estimate(Machine, Square(100)));
        Assert.Equal(
            """
            write time            20.12 ms  (exposing 20 ms, jumps and settling 120 us, waiting 0 s, link stalls 0 s)
            records               102  (100 lines, 10000 points, 2 jumps)
            stream                2.46 kB, lines sent as lines  (103 kB point by point)
            link                  114 kB/s needed on average; 1 MB/s given, buffer 4.1 kB: never runs dry
            link buffer           7 blocks: 2 blocks (1.05 kB) needed to keep the beam on
            step per code         1.526 nm x 1.526 nm, spot 10 nm
            spacing along x       4.578 nm to 6.104 nm, dose ripple ±6%
            spacing along y       6.104 nm to 6.104 nm, dose ripple ±0.014%
            rounding to codes     0.4405 nm rms, 0.7629 nm at most
            dwell                 2 us to 2 us  (20 to 20 ticks of 100 ns; the controller makes 5 to 1000000)
            rounding of dwell     2.5% of a point's dose at most, carried on within a figure
            charge                2 pC  (12483018 electrons)
            shot noise            0.028% of the least exposed figure's dose  (12483018 electrons)
            field used            0.54% x 0.61%, 30000 codes to the nearest end

            """,
            table);
    }

    [Fact]
    public void Warnings_name_the_fault_with_its_figures_and_a_remedy()
    {
        Machine coarse = Machine with { Beam = Machine.Beam with { SpotNanometres = 2.5 } };
        ExposureEstimate e = Estimate(
            coarse, Enumerable.Range(0, 50).Select(i => DeflectionRecord.Line(9000, 9000 + i, 9199, 9000 + i, 200, 20_000)));
        Assert.Equal(
            [
                "warning PC3002: one code is 1.53 nm on the sample, 61% of the spot of 2.5 nm: edges will show steps; use a smaller field (higher magnification), a DAC with more bits, or a larger spot",
            ],
            e.Warnings.Select(w => w.ToString()));
    }

    [Fact]
    public void An_empty_document_is_said_to_expose_nothing()
    {
        ExposureEstimate e = Estimate(Machine, [DeflectionRecord.Jump(1, 1, 10)]);
        Assert.Equal("warning PC3001: no record exposes anything; check layers and dose factors of the drawing", Assert.Single(e.Warnings).ToString());
        Assert.NotEmpty(EstimateText.Format(e));
    }

    [Fact]
    public void Json_has_stable_names_and_the_same_values()
    {
        ExposureEstimate e = Estimate(Machine, Square(50));
        using var stream = new MemoryStream();
        EstimateJson.Write(e, stream);
        using JsonDocument json = JsonDocument.Parse(stream.ToArray());
        Assert.Equal(
            "machine,time,records,lines,points,jumps,streamBytes,streamBytesAsLines,streamBytesAsPoints,chargeCoulombs,electrons,"
            + "fewestElectrons,fewestElectronsFigure,shotNoise,link,stepXNanometres,stepYNanometres,spotNanometres,blurNanometres,spacingX,spacingY,"
            + "positionDeviationNanometres,clockHertz,shortestDwellTicks,longestDwellTicks,minimumDwellTicks,maximumDwellTicks,"
            + "dwellRounding,field,travel,chosenSpacings,warnings",
            string.Join(',', json.RootElement.EnumerateObject().Select(p => p.Name)));
        Assert.Equal(e.TotalSeconds, json.RootElement.GetProperty("time").GetProperty("totalSeconds").GetDouble());
        Assert.EndsWith("}\n", Encoding.UTF8.GetString(stream.ToArray()), StringComparison.Ordinal);
        Assert.DoesNotContain("\r", Encoding.UTF8.GetString(stream.ToArray()), StringComparison.Ordinal);
    }

    /// <summary>Every number of the parts of an estimate is in the JSON under its own name, and no two of them are alike here.</summary>
    [Fact]
    public void Json_holds_every_number_of_every_part()
    {
        RecordsHeader oblong = Header with { NanometresPerCodeX = 2, NanometresPerCodeY = -3 };
        ExposureEstimate e = Estimate(
            Machine,
            [
                DeflectionRecord.Jump(32_768, 32_768, 41), DeflectionRecord.Line(32_967, 32_768, 32_768, 32_867, 5, 100), DeflectionRecord.Wait(77),
                DeflectionRecord.Jump(31_000, 33_333, 41), DeflectionRecord.Line(31_000, 33_333, 31_090, 33_333, 7, 210), DeflectionRecord.Dot(31_000, 33_340, 35),
            ],
            oblong);
        using var stream = new MemoryStream();
        EstimateJson.Write(e, stream);
        using JsonDocument json = JsonDocument.Parse(stream.ToArray());
        foreach ((string name, object part) in new (string, object)[] { ("field", e.Field), ("spacingX", e.SpacingX), ("spacingY", e.SpacingY) })
        {
            JsonElement written = json.RootElement.GetProperty(name);
            foreach (System.Reflection.PropertyInfo property in part.GetType().GetProperties().Where(p => p.PropertyType == typeof(double) || p.PropertyType == typeof(long)))
            {
                string key = char.ToLowerInvariant(property.Name[0]) + property.Name[1..];
                Assert.True(written.TryGetProperty(key, out JsonElement value), $"{name}.{key} is missing");
                Assert.Equal(Convert.ToDouble(property.GetValue(part), System.Globalization.CultureInfo.InvariantCulture), value.GetDouble());
            }
        }
    }

    [Fact]
    public void Stream_sizes_are_those_of_the_streams_that_are_written()
    {
        Gen<DeflectionRecord> genRecord = Gen.Select(Gen.Int[0, 4], Gen.Int[0, 65535], Gen.Int[1, 300], (kind, code, n) => kind switch
        {
            0 => DeflectionRecord.Jump(code, 7, n),
            1 => DeflectionRecord.Dot(code, 9, 5 + n),
            2 => DeflectionRecord.Line(code, 5, 5, code, n, 10L * n),
            3 => DeflectionRecord.Wait(n),
            _ => DeflectionRecord.Marker(n),
        });
        Gen.Select(genRecord.Array[0, 400], Gen.Int[8, 24]).Sample((records, bits) =>
        {
            RecordsHeader header = Header with { Dac = Header.Dac with { Bits = bits } };
            for (int i = 0; i < records.Length; i++)
            {
                int mask = header.Dac.CodeCount - 1;
                records[i] = records[i] with { X = records[i].X & mask, Y = records[i].Y & mask, EndX = records[i].EndX & mask, EndY = records[i].EndY & mask };
            }

            ExposureEstimate e = Estimate(Machine, records, header);
            Assert.Equal(Written(StreamProfile.Points), e.PointStreamBytes);
            Assert.Equal(Written(StreamProfile.Lines), e.LineStreamBytes);

            long Written(StreamProfile profile)
            {
                using var stream = new MemoryStream();
                var writer = new ExposureStreamWriter(stream, profile);
                writer.Begin(header);
                writer.Write(records);
                writer.End();
                return stream.Length;
            }
        }, iter: Iterations.Usually(300));
    }

    /// <summary>Every write field is a stream of its own: no block holds records of two.</summary>
    [Fact]
    public void Streams_of_several_fields_are_counted_and_sent_one_by_one()
    {
        Machine machine = Machine with { Link = new Link(1e6, 1 << 20, false) };
        DeflectionRecord[] dots = [.. Enumerable.Range(0, 60).Select(i => DeflectionRecord.Dot(1000 + i, 500, 10))];
        var estimator = new Estimator(machine);
        estimator.BeginField("r01c01");
        estimator.Begin(Header);
        estimator.Write(dots);
        estimator.BeginField("r01c02");
        estimator.Write(dots);
        estimator.End();
        ExposureEstimate both = estimator.ToEstimate();
        ExposureEstimate one = Estimate(machine, dots);
        Assert.Equal(2 * one.PointStreamBytes, both.PointStreamBytes);
        Assert.Equal(2 * one.LineStreamBytes, both.LineStreamBytes);

        // The second block of nine dots travels for 104 us while the first is written for 51 us.
        Assert.Equal(2, both.Link.Stalls);
        Assert.Equal(2 * 53e-6, both.Link.StallSeconds, 1e-15);
    }

    /// <summary>The beam waits for the next block at the end of the last line of the block before: code 20,000 by 50,000 of 65,536 over 100 µm.</summary>
    [Fact]
    public void A_stall_is_told_where_the_beam_waits()
    {
        Machine slow = Machine with { Link = new Link(1e4, 8192, true) };
        ExposureEstimate e = Estimate(slow, Enumerable.Range(0, 200).Select(i => DeflectionRecord.Line(1000 + i, 300, 20_000, 50_000, 7, 70)));
        Assert.True(e.Link.FirstStall!.Record > 0);
        Assert.Equal((20_000 - 32_768) * 100_000.0 / 65_536, e.Link.FirstStall.XNanometres, 1e-6);
        Assert.Equal((50_000 - 32_768) * 100_000.0 / 65_536, e.Link.FirstStall.YNanometres, 1e-6);
    }

    [Fact]
    public void A_link_that_is_always_too_slow_sets_the_pace_of_the_write()
    {
        // 20,000 dots of 10 bytes each, 51 to a block of 524 bytes that takes 262 us over a link of 2 MB/s and 51 us to write. Room
        // for 15 blocks never fills. The last block holds 8 dots and comes in 47 us, before the one before it is done.
        Machine slow = Machine with { Link = new Link(2e6, 8192, false) };
        ExposureEstimate e = Estimate(slow, Enumerable.Range(0, 20_000).Select(i => DeflectionRecord.Dot(1000 + i, 500, 10)));
        Assert.Equal(391 * 262e-6 + 51e-6 + 8e-6, e.TotalSeconds, 1e-12);
        Assert.Equal((392 * 524 + 94) / 0.02, e.Link.MeanBytesPerSecond, 1e-6);
        Assert.Equal(391, e.Link.Stalls);
        Assert.Equal(51, e.Link.FirstStall!.Record);
        Assert.Equal(51e-6, e.Link.FirstStall.Seconds, 1e-15);
        Assert.Contains(e.Warnings, w => w.Code.Id == "PC3007");
    }

    [Fact]
    public void A_short_busy_stretch_is_carried_by_the_buffer()
    {
        // The first block takes as long as 19 others on their way, and the 13 that 700 dots still fill are all there.
        List<DeflectionRecord> records = [DeflectionRecord.Wait(100_000)];
        for (int i = 0; i < 700; i++)
        {
            records.Add(DeflectionRecord.Dot(1000, i, 10));
        }

        records.Add(DeflectionRecord.Wait(10_000_000));
        Machine machine = Machine with { Link = new Link(1e6, 8192, false) };
        Assert.Equal(0, Estimate(machine, records).Link.Stalls);
        Assert.NotEqual(0, Estimate(machine with { Link = new Link(1e6, 4096, false) }, records).Link.Stalls);
    }

    [Fact]
    public void The_busiest_stretch_needs_more_than_the_mean()
    {
        var records = new List<DeflectionRecord>();
        for (int part = 0; part < 5; part++)
        {
            for (int i = 0; i < 4000; i++)
            {
                records.Add(DeflectionRecord.Dot(1000 + part, i, part == 3 ? 20 : 200));
            }
        }

        ExposureEstimate e = Estimate(Machine with { Link = new Link(50e6, 8192, false) }, records);
        Assert.Equal(524 / (51 * 2e-6), e.Link.BusiestBytesPerSecond, 1e-3);
        Assert.Equal((392 * 524 + 94) / (16_000 * 20e-6 + 4000 * 2e-6), e.Link.MeanBytesPerSecond, 1e-3);
    }

    [Fact]
    public void The_least_exposed_figure_is_found_by_markers_or_else_by_jumps()
    {
        DeflectionRecord[] marked =
        [
            DeflectionRecord.Marker(3), DeflectionRecord.Jump(0, 0, 1), DeflectionRecord.Dot(0, 0, 1000), DeflectionRecord.Jump(9, 9, 1), DeflectionRecord.Dot(9, 9, 10),
            DeflectionRecord.Marker(4), DeflectionRecord.Jump(5, 5, 1), DeflectionRecord.Dot(5, 5, 500),
        ];
        ExposureEstimate e = Estimate(Machine, marked);
        Assert.Equal(4, e.FewestElectronsFigure);
        Assert.Equal(500e-7 * 100e-12 / 1.602176634e-19, e.FewestElectrons, 1e-3);

        ExposureEstimate plain = Estimate(Machine, marked.Where(r => r.Kind != RecordKind.Marker));
        Assert.Equal(-1, plain.FewestElectronsFigure);
        Assert.Equal(10e-7 * 100e-12 / 1.602176634e-19, plain.FewestElectrons, 1e-3);

        // A single tick is the least that there is.
        ExposureEstimate least = Estimate(Machine, [.. marked, DeflectionRecord.Marker(7), DeflectionRecord.Jump(7, 7, 1), DeflectionRecord.Dot(7, 7, 1)]);
        Assert.Equal(7, least.FewestElectronsFigure);
        Assert.Equal(1e-7 * 100e-12 / 1.602176634e-19, least.FewestElectrons, 1e-3);
    }

    [Fact]
    public void Uneven_spacing_on_codes_ripples_more_than_its_mean_pitch()
    {
        // A pitch of one and a half codes alternates between one and two.
        Machine machine = Machine with { Beam = Machine.Beam with { SpotNanometres = 4.5 } };
        var even = new List<DeflectionRecord>();
        var uneven = new List<DeflectionRecord>();
        int y = 3000;
        for (int i = 0; i < 60; i++)
        {
            even.Add(DeflectionRecord.Line(1000, 3000 + 2 * i, 1400, 3000 + 2 * i, 401, 401 * 20));
            uneven.Add(DeflectionRecord.Line(1000, y, 1400, y, 401, 401 * 20));
            y += 1 + i % 2;
        }

        double evenRipple = Estimate(machine, even).SpacingY.Ripple;
        double unevenRipple = Estimate(machine, uneven).SpacingY.Ripple;
        Assert.InRange(evenRipple, 0, 0.001);
        Assert.InRange(unevenRipple, 0.005, 0.2);
        Assert.Equal(1.52587890625, Estimate(machine, uneven).SpacingY.SmallestNanometres, 1e-9);
        Assert.Equal(3.0517578125, Estimate(machine, uneven).SpacingY.LargestNanometres, 1e-9);
    }

    [Theory]
    [InlineData(10, 30_000, 10)]
    [InlineData(65_525, 30_000, 10)]
    [InlineData(30_000, 7, 7)]
    [InlineData(30_000, 65_528, 7)]
    [InlineData(0, 30_000, 0)]
    [InlineData(30_000, 65_535, 0)]
    public void The_margin_is_what_the_nearest_end_of_either_range_leaves(int x, int y, long margin) => Assert.Equal(
        margin,
        Estimate(Machine, [DeflectionRecord.Jump(x, y, 1), DeflectionRecord.Dot(x, y, 10), DeflectionRecord.Dot(32_768, 32_768, 10)]).Field.MarginCodes);

    // 200 of 65536 codes in x, 100 in y; a code is 2 nm in x and 3 nm upside down in y.
    [Fact]
    public void The_field_used_is_measured_in_both_axes()
    {
        RecordsHeader oblong = Header with { NanometresPerCodeX = 2, NanometresPerCodeY = -3 };
        FieldEstimate field = Estimate(
            Machine, [DeflectionRecord.Jump(32_768, 32_768, 1), DeflectionRecord.Line(32_967, 32_768, 32_768, 32_867, 5, 100)], oblong).Field;
        Assert.Equal((200 / 65_536.0, 100 / 65_536.0), (field.UsedX, field.UsedY));
        Assert.Equal((0, -297, 398, 0), (field.LeftNanometres, field.BottomNanometres, field.RightNanometres, field.TopNanometres));
    }

    /// <summary>An exposure with its axes changed is estimated the same, with its axes changed: in an oblong field, off its middle, lines in all directions, through a link that runs dry.</summary>
    [Fact]
    public void An_exposure_that_is_turned_is_estimated_the_same_way() => Gen.Select(Gen.Int[0, 3], Gen.Int[20_000, 20_400], Gen.Int[40_000, 40_300], Gen.Int[-90, 90], Gen.Int[-60, 60], Gen.Int[1, 60], Gen.Long[30, 400], (kind, x, y, dx, dy, points, ticks) => kind switch
    {
        0 => DeflectionRecord.Jump(x, y, ticks),
        1 => DeflectionRecord.Dot(x, y, ticks),
        2 => DeflectionRecord.Marker(points),
        _ => DeflectionRecord.Line(x, y, x + dx, y + dy, points + 1, ticks * (points + 1)),
    }).Array[1, 40].Sample(
        records =>
        {
            Machine slow = Machine with { Link = new Link(3e5, 1100, true) };
            ExposureEstimate upright = Estimate(slow, records, Header with { NanometresPerCodeX = 1.5, NanometresPerCodeY = -2.25 });
            ExposureEstimate turned = Estimate(slow, records.Select(r => r with { X = r.Y, Y = r.X, EndX = r.EndY, EndY = r.EndX }), Header with { NanometresPerCodeX = -2.25, NanometresPerCodeY = 1.5 });
            ExposureEstimate back = turned with
            {
                StepXNanometres = turned.StepYNanometres,
                StepYNanometres = turned.StepXNanometres,
                SpacingX = turned.SpacingY,
                SpacingY = turned.SpacingX,
                FewestElectronsAt = (turned.FewestElectronsAt.Y, turned.FewestElectronsAt.X),
                Field = new(turned.Field.UsedY, turned.Field.UsedX, turned.Field.MarginCodes, turned.Field.BottomNanometres, turned.Field.LeftNanometres, turned.Field.TopNanometres, turned.Field.RightNanometres),
                Link = turned.Link with { FirstStall = Turned(turned.Link.FirstStall), WorstStall = Turned(turned.Link.WorstStall), FirstStallAmidExposure = Turned(turned.Link.FirstStallAmidExposure) },
                Warnings = [],
            };
            Assert.Equal(upright with { Warnings = [] }, back);
            DeflectionRecord[] exposed = [.. records.Where(r => r.Points > 0)];
            if (exposed.Length > 0)
            {
                // Where the middle of the codes is the middle of the field: 32,768.
                int[] across = [.. exposed.SelectMany(r => new[] { r.X, r.EndX })], along = [.. exposed.SelectMany(r => new[] { r.Y, r.EndY })];
                Assert.Equal((1.5 * (across.Min() - 32_768), -2.25 * (along.Max() - 32_768)), (upright.Field.LeftNanometres, upright.Field.BottomNanometres));
                Assert.Equal((1.5 * (across.Max() - 32_768), -2.25 * (along.Min() - 32_768)), (upright.Field.RightNanometres, upright.Field.TopNanometres));
                Assert.Equal(((across.Max() - across.Min() + 1) / 65_536.0, (along.Max() - along.Min() + 1) / 65_536.0), (upright.Field.UsedX, upright.Field.UsedY));
            }

            static StallPlace? Turned(StallPlace? place) => place is null ? null : place with { XNanometres = place.YNanometres, YNanometres = place.XNanometres };
        },
        iter: Iterations.Usually(60));

    // The link is too slow all the time: what counts is the bytes, of which a marker has 6. Its number takes no time. A
    // block holds 51 dots (524 bytes), or 50 and a marker (520), as the first one; the last one holds the 28 that are left.
    [Fact]
    public void A_markers_number_is_no_time()
    {
        Machine slow = Machine with { Link = new Link(2e6, 8192, false) };
        ExposureEstimate e = Estimate(slow, Enumerable.Range(0, 20).SelectMany(part => Enumerable.Range(0, 1000)
            .Select(i => DeflectionRecord.Dot(1000 + i, 500 + part, 10)).Prepend(DeflectionRecord.Marker(1_000_000_000 + part))));
        Assert.Equal((19 * 520 + 372 * 524 + 294) / 2e6 + 28e-6, e.TotalSeconds, 1e-12);
        Assert.Equal(0.02, e.ExposingSeconds, 1e-12);
        Assert.Equal(1_000_000_000, e.Link.FirstStall!.Figure);
    }

    internal static ExposureEstimate Estimate(Machine machine, IEnumerable<DeflectionRecord> records, RecordsHeader? header = null)
    {
        var estimator = new Estimator(machine);
        estimator.Begin(header ?? Header);
        estimator.Write(records.ToArray());
        estimator.End();
        return estimator.ToEstimate();
    }

    // Back-and-forth lines of points 3 or 4 codes apart, at a pitch of 4 codes.
    private static List<DeflectionRecord> Square(int size)
    {
        var records = new List<DeflectionRecord> { DeflectionRecord.Jump(30_000, 30_000, 600) };
        for (int i = 0; i < size; i++)
        {
            int y = 30_000 + 4 * i;
            int right = 30_000 + 7 * size / 2;
            records.Add(i % 2 == 0
                ? DeflectionRecord.Line(30_000, y, right, y, size, 20L * size)
                : DeflectionRecord.Line(right, y, 30_000, y, size, 20L * size));
        }

        records.Add(DeflectionRecord.Jump(0, 0, 600));
        return records;
    }
}
