using System.Collections.Concurrent;
using System.Globalization;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>
/// What a bring-up writes, read back from its streams, against closed forms: straight lines, sines a quarter of a turn apart, first-order steps,
/// edges that delays shift. Numbers of the page are compared with what the streams say, not with the plan that they were written from.
/// </summary>
public sealed class BringUpFilesTests
{
    private const string Plain = """
        machine: bench <1> & "two"
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}
        deflection: {field_width: 100 um, field_height: 80 um, invert_y: yes}
        settle: {fixed: 15 us, time_constant: 4 us, slew: 10 um/us}
        clock: {rate: 10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks}
        blanker: {active: high, off_delay: 2 us, on_delay: 0.5 us, leak: 1 %, shortest_pulse: 4 us, scan_enable_delay: 3 ms, scan_disable_delay: 2 ms}
        beam: {current: 200 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 8 MB/s, buffer: 64 KiB}
        """;

    private static readonly Dictionary<string, string> Machines = new(StringComparer.Ordinal)
    {
        ["plain"] = Plain,
        ["low"] = Plain.Replace("active: high", "active: low", StringComparison.Ordinal).Replace("invert_y: yes", "invert_x: yes, swap_axes: yes", StringComparison.Ordinal),
        ["8 bits"] = Plain.Replace("bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary", "bits: 8, lowest: 0 V, highest: 5 V, coding: straight, full_scale: last code", StringComparison.Ordinal)
            .Replace("64 KiB", "64 KiB, interpolates_lines: no", StringComparison.Ordinal),
        ["24 bits"] = Plain.Replace("bits: 16", "bits: 24, fine_bits: 10, coarse_settle: 20 us", StringComparison.Ordinal).Replace("offset binary", "two's complement", StringComparison.Ordinal)
            .Replace("slew: 10 um/us", "cancel_lag: yes", StringComparison.Ordinal),
        ["no blanker"] = Plain.Replace(Plain.Split('\n').Single(line => line.StartsWith("blanker", StringComparison.Ordinal)), "blanker: none", StringComparison.Ordinal)
            .Replace("settle: {fixed: 15 us, time_constant: 4 us, slew: 10 um/us}", "settle: {fixed: 15 us}", StringComparison.Ordinal),
        ["usable"] = Plain.Replace("invert_y: yes", "usable_x: [1000, 60000], usable_y: [3001, 50002], crosstalk: {x_from_y: 0.01}, linearity_x: [[0, 0], [32767, 3], [32768, -2], [65535, 0]]", StringComparison.Ordinal),
        ["slow clock"] = Plain.Replace("10 MHz, shortest_dwell: 5 ticks, longest_dwell: 65535 ticks", "1 kHz, shortest_dwell: 3 ticks, longest_dwell: 4 ticks", StringComparison.Ordinal)
            .Replace("shortest_pulse: 4 us", "shortest_pulse: 5 ms", StringComparison.Ordinal),
        ["serial"] = Plain.Replace("rate: 8 MB/s, buffer: 64 KiB", "rate: 115200 baud, blocks: 2, latency: 16 ms", StringComparison.Ordinal),
        ["odd clock"] = Plain.Replace("10 MHz", "14.318 MHz", StringComparison.Ordinal).Replace("shortest_dwell: 5 ticks", "shortest_dwell: 40 us", StringComparison.Ordinal),
    };

    public static TheoryData<string> Any => [.. Machines.Keys];

    public static TheoryData<string> WithBlanker => [.. Machines.Keys.Where(name => name != "no blanker")];

    public static TheoryData<string> WithTimeConstant => WithBlanker;

    [Fact]
    public void Steps_come_in_their_order_and_each_has_its_files()
    {
        BringUpSet set = Written("plain");
        Assert.Equal(
            [
                "01-hold", "02-ramp", "03-squares", "04-staircase", "05-circle", "06-blanker-chirp", "07-scan-enable", "08-unplugged",
                "09-load-squares", "10-load-circle", "11-load-blanker-chirp",
                "12-cup-unplugged", "13-cup-current", "14-scrap-blanked-circle", "15-scrap-circle",
            ],
            set.Names);
        Assert.All(set.Names, name => Assert.Contains(set.Files.Written.Keys, file => file.StartsWith($"bench/{name}", StringComparison.Ordinal) && file.EndsWith(".svg", StringComparison.Ordinal)));
        Assert.Empty(set.Files.Discarded);
        Assert.Equal(
            ["01-hold", "02-ramp", "03-squares", "04-staircase", "05-circle", "06-scan-enable", "07-unplugged", "08-load-squares", "09-load-circle", "10-scrap-circle"],
            Written("no blanker").Names);
    }

    /// <summary>The reader's checker is in the way of <see cref="BringUpSet.Decoded"/>: codes, dwells, beam off before the first move.</summary>
    [Theory]
    [MemberData(nameof(Any))]
    public void Streams_keep_what_the_machine_asks_for(string machine)
    {
        BringUpSet set = Written(machine);
        var mapping = new DacMapping(set.Machine.Dac, set.Machine.Deflection);
        foreach (string name in set.Names)
        {
            (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded(name[3..]);
            Assert.Equal(ScalePass.HeaderOf(StageOptions.Scale(set.Settings.Job, set.Machine)), header);
            Assert.True(records[0].Kind is RecordKind.Jump or RecordKind.Wait, name);
            Assert.All(records.Where(record => record.Kind is RecordKind.Jump or RecordKind.Dot), record => Assert.True(mapping.UsableX.Holds(record.X) && mapping.UsableY.Holds(record.Y), name));
            bool turnsOn = records.Any(record => record.Points > 0);
            Assert.Equal(turnsOn, name[3..] is "blanker-chirp" or "load-blanker-chirp" or "cup-unplugged" or "cup-current" or "scrap-circle" || (name[3..] == "unplugged" && set.Machine.Blanker.IsPresent));
            Assert.True(records.Count <= 600_000, $"{name}: {records.Count} records");
            Assert.Equal(
                turnsOn,
                set.Section(name[3..]).Contains(set.Machine.Blanker.IsPresent ? "The blank line moves:" : "the beam is on throughout", StringComparison.Ordinal));
        }
    }

    /// <summary>By the follower of blocks that <c>estimate</c> uses.</summary>
    [Theory]
    [MemberData(nameof(Any))]
    public void The_link_never_holds_a_stream_up(string machine)
    {
        BringUpSet set = Written(machine);
        foreach (string name in set.Names)
        {
            Assert.True(LinkStalls.Of(set.Machine, set.Decoded(name[3..])) == 0, name);
        }
    }

    [Theory]
    [MemberData(nameof(Any))]
    public void Holds_show_the_volts_of_the_table(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("hold");
        string[][] table = set.Table("hold", "What a voltmeter shows");
        DeflectionRecord[] jumps = [.. records.Where(record => record.Kind == RecordKind.Jump)];
        Assert.Equal(jumps.Length, table.Length);
        double lsb = (header.Dac.MaximumVolts - header.Dac.MinimumVolts) / (header.Dac.CodeCount - (header.Dac.FullScale == DacFullScale.LastCode ? 1 : 0));
        for (int i = 0; i < jumps.Length; i++)
        {
            Assert.Equal((jumps[i].X, jumps[i].Y), (int.Parse(table[i][1], CultureInfo.InvariantCulture), int.Parse(table[i][2], CultureInfo.InvariantCulture)));
            double y = header.Dac.MinimumVolts + jumps[i].Y * lsb;
            Near(y, Volts(table[i][4]), 1e-5 * Math.Abs(y) + 1e-9);
            double x = header.Dac.MinimumVolts + jumps[i].X * lsb;
            if (set.Machine.Deflection.LinearityX is { } linearity)
            {
                // A hundredth of what the other output is away from 0 V, and the table of the machine file.
                x = header.Dac.MinimumVolts + linearity.OutputOf(jumps[i].X) * lsb + 0.01 * y;
            }

            Near(x, Volts(table[i][3]), 1e-5 * Math.Abs(x) + 1e-9);
        }
    }

    [Theory]
    [MemberData(nameof(Any))]
    public void Ramps_are_straight_and_have_the_slope_of_the_page(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("ramp");
        int end = records.FindIndex(1, record => record.X < records[0].X + 1);
        List<DeflectionRecord> ramp = records[..end];
        int step = ramp[1].X - ramp[0].X;
        Assert.All(ramp.Zip(ramp.Skip(1)), pair => Assert.Equal((step, pair.First.Y, pair.First.Ticks), (pair.Second.X - pair.First.X, pair.Second.Y, pair.Second.Ticks)));
        double seconds = ramp.Take(ramp.Count - 1).Sum(record => record.Ticks) / header.ClockHertz;
        double slope = (header.Dac.VoltsOf(ramp[^1].X) - header.Dac.VoltsOf(ramp[0].X)) / seconds;
        Near(slope, Volts(set.Fact("ramp", "Slope").Replace("/s", "", StringComparison.Ordinal)), 1e-5 * slope);
        Assert.True(ramp.Count > 64);
        if (set.Machine.Settle.TimeConstantSeconds is > 0 and var tau)
        {
            // Behind a first order a ramp lags by slope times time constant.
            Near(slope * tau, Volts(set.Fact("ramp", "Lag of what settles within the machine file’s time constant")), 1e-5 * slope * tau);
        }
    }

    [Theory]
    [MemberData(nameof(Any))]
    public void Five_rates_of_squares_are_those_of_the_page(string machine)
    {
        BringUpSet set = Written(machine);
        foreach (string step in (string[])["squares", "load-squares"])
        {
            (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded(step);
            string[][] table = set.Table(step, "Rates");
            Assert.Equal(10, table.Length);
            (int middleX, int middleY) = (records[0].X, records[0].Y);
            var found = new List<(char Axis, double Hertz, double From, int Periods)>();
            long tick = 0;
            for (int i = 0; i < records.Count;)
            {
                int start = i;
                long from = tick;
                while (i < records.Count && (records[i].X, records[i].Y) != (middleX, middleY))
                {
                    Assert.Equal(records[start].Ticks, records[i].Ticks);
                    tick += records[i++].Ticks;
                }

                if (i > start)
                {
                    bool isX = records[start].Y == middleY;
                    Assert.True(isX ? records[start..i].All(r => r.Y == middleY) : records[start..i].All(r => r.X == middleX));
                    Assert.Equal(2, records[start..i].Distinct().Count());
                    found.Add((isX ? 'X' : 'Y', header.ClockHertz / (2 * records[start].Ticks), from / header.ClockHertz, (i - start) / 2));
                }
                else
                {
                    tick += records[i++].Ticks;
                }
            }

            Assert.Equal("XXXXXYYYYY", string.Concat(found.Select(rate => rate.Axis)));
            Assert.All(found.Take(5).Zip(found.Skip(1).Take(4)), pair => Assert.True(pair.First.Hertz < pair.Second.Hertz));
            Assert.True(found[4].Hertz >= 16 * found[0].Hertz * 0.99);
            for (int i = 0; i < 10; i++)
            {
                Near(found[i].Hertz, Hertz(table[i][1]), 1e-5 * found[i].Hertz);
                Near(found[i].From, Seconds(table[i][4]), 1e-5 * found[i].From + 1);
                Assert.Equal(found[i].Periods, int.Parse(table[i][3], CultureInfo.InvariantCulture));
            }
        }
    }

    /// <summary>A first-order low pass: 1 − 1/e of a step after a time constant, ln 9 of them from 10 to 90 % (any textbook of circuits).</summary>
    [Theory]
    [MemberData(nameof(WithTimeConstant))]
    public void Edges_at_the_load_are_those_of_a_resistor_and_a_capacitor(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("load-squares");
        double tau = Seconds(set.Fact("load-squares", "63.2\u00A0% of an edge after"));
        Assert.Equal(set.Machine.Settle.TimeConstantSeconds, tau, 1e-12);
        Near(2.1972245773362196 * tau, Seconds(set.Fact("load-squares", "From 10\u00A0% to 90\u00A0%")), 1e-5 * tau);

        // The rest of the first half period, over many time constants, then the first edge of X.
        double edge = records[0].Ticks / header.ClockHertz;
        var sampler = new WaveformSampler("a", TraceWindow.OfTime(0, edge + records[1].Ticks / header.ClockHertz), set.Machine with { Settle = set.Machine.Settle with { SlewNanometresPerSecond = 0 } }) { KeepsCourse = true };
        sampler.Begin(header);
        sampler.Write(records.ToArray());
        sampler.End();
        sampler.ToWaveforms();
        double[] volts = new double[3];
        sampler.Course!.Fill(TraceLine.X, [edge, edge + tau, edge + 3 * tau], volts);
        (double low, double high) = (header.Dac.VoltsOf(records[0].X), header.Dac.VoltsOf(records[1].X));
        Near(low, volts[0], 1e-9);
        Near(low + (high - low) * (1 - Math.Exp(-1)), volts[1], 1e-6);
        Near(low + (high - low) * (1 - Math.Exp(-3)), volts[2], 1e-6);
    }

    /// <summary>The first harmonic of a turn, by its sums with sine and cosine: one height, a quarter of a turn apart; rounding to codes is all that is left.</summary>
    [Theory]
    [MemberData(nameof(Any))]
    public void Circles_are_two_sines_a_quarter_of_a_turn_apart(string machine)
    {
        BringUpSet set = Written(machine);
        foreach (string step in (string[])["circle", "load-circle"])
        {
            (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded(step);
            int points = records.FindIndex(1, record => record == records[0]);
            double turn = records.Take(points).Sum(record => record.Ticks) / header.ClockHertz;
            Near(1 / turn, Hertz(set.Fact(step, "Turns a second")), 1e-5 / turn);
            Assert.Equal(0, records.Count % points);
            (double heightX, double phaseX) = Harmonic(records.Take(points).Select(record => record.X));
            (double heightY, double phaseY) = Harmonic(records.Take(points).Select(record => record.Y));
            Near(heightX, heightY, 0.1);
            Near(Math.PI / 2, (phaseX - phaseY + 2 * Math.PI) % (2 * Math.PI), 0.2 / heightX);
            double middle = records.Take(points).Average(record => record.X);
            Assert.All(records.Take(points), record => Assert.True(Math.Abs(Math.Sqrt(Square(record.X - middle) + Square(record.Y - records.Take(points).Average(r => r.Y))) - heightX) < 1, $"{record}"));
            string[] ends = set.Fact(step, "Y").Split(" to ");
            Near((header.Dac.VoltsOf(records.Max(r => r.Y)) - header.Dac.VoltsOf(records.Min(r => r.Y))) , Volts(ends[1]) - Volts(ends[0]), 2e-5 * 10);
        }
    }

    [Theory]
    [MemberData(nameof(WithTimeConstant))]
    public void A_circle_behind_the_load_is_smaller_and_later(string machine)
    {
        BringUpSet set = Written(machine);
        double phase = 2 * Math.PI * Hertz(set.Fact("load-circle", "Turns a second")) * set.Machine.Settle.TimeConstantSeconds;
        string[] lag = set.Fact("load-circle", "and their lag").Split("°, ");
        Near(100 / Math.Sqrt(1 + phase * phase), double.Parse(set.Fact("load-circle", "Behind the load’s time constant, height of the sines")[..^2], CultureInfo.InvariantCulture), 0.06);
        Near(Math.Atan(phase) * 180 / Math.PI, double.Parse(lag[0], CultureInfo.InvariantCulture), 1e-3 * phase * 60);
    }

    [Theory]
    [MemberData(nameof(Any))]
    public void Stairs_go_by_single_codes_over_each_carry(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("staircase");
        string[][] table = set.Table("staircase", "Carries, in their order");
        int mask = header.Dac.CodingMask;
        foreach (string[] row in table)
        {
            int below = Convert.ToInt32(row[2].Split(' ', '\u00A0')[0], 16) ^ mask, above = Convert.ToInt32(row[3].Split(' ', '\u00A0')[0], 16) ^ mask;
            Assert.Equal(1, above - below);
            bool isX = row[0] == "X";
            int at = Enumerable.Range(0, records.Count - 1).First(i => (isX ? (records[i].X, records[i + 1].X) : (records[i].Y, records[i + 1].Y)) == (below, above));
            Assert.Equal(Enumerable.Range(below - 3, 8), Enumerable.Range(at - 3, 8).Select(i => isX ? records[i].X : records[i].Y));
            Assert.Equal(Enumerable.Range(below - 3, 8).Reverse(), Enumerable.Range(at + 5, 8).Select(i => isX ? records[i].X : records[i].Y));
        }

        if (machine == "plain")
        {
            Assert.Equal(30, table.Length);
            Assert.Equal(["X", "7FFF hex", "8000 hex"], [table[7][0], table[7][2], table[7][3]]);
        }

        // Of coarse and fine converters the border nearest above the middle: 2^23 + 2^10, the top bit inverted.
        Assert.True(machine != "24 bits" || table.Any(row => row[3] == "000400 hex"));
    }

    [Theory]
    [MemberData(nameof(WithBlanker))]
    public void The_chirp_rises_by_the_rates_of_the_page(string machine)
    {
        BringUpSet set = Written(machine);
        foreach (string step in (string[])["blanker-chirp", "load-blanker-chirp"])
        {
            (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded(step);
            List<(bool IsOn, long Ticks)> line = LineOf(records);
            Assert.False(line[0].IsOn);
            Assert.False(line[^1].IsOn);
            var found = line[1..].Chunk(2).GroupBy(period => period[0].Ticks).Select(rate => (Half: rate.Key, Periods: rate.Count(), AreEven: rate.All(period => period[0].IsOn && period[1].Ticks == period[0].Ticks))).ToArray();
            Assert.All(found, rate => Assert.True(rate.AreEven));
            Assert.Equal(found.Select(rate => rate.Half).OrderDescending(), found.Select(rate => rate.Half));
            string[][] table = set.Table(step, "Rates, on and off for half a period each");
            Assert.Equal(found.Length, table.Length);
            Assert.True(found.Length >= 2);
            Assert.True(found[^1].Half >= set.Machine.Blanker.ShortestPulseSeconds * header.ClockHertz);
            for (int i = 0; i < found.Length; i++)
            {
                double hertz = header.ClockHertz / (2 * found[i].Half);
                Near(hertz, Hertz(table[i][0]), 1e-5 * hertz);
                Assert.Equal(found[i].Periods, int.Parse(table[i][2], CultureInfo.InvariantCulture));
            }
        }
    }

    /// <summary>The edges of the line, each later by its delay, and the leak between: what a slow meter shows of it.</summary>
    [Theory]
    [MemberData(nameof(WithBlanker))]
    public void The_mean_current_follows_from_delays_and_leak(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("cup-current");
        string[][] table = set.Table("cup-current", "Rates and the mean current by the machine file’s delays and leak");
        Blanker blanker = set.Machine.Blanker;
        List<(bool IsOn, long Ticks)> line = LineOf(records);
        foreach (string[] row in table)
        {
            double half = line.Select(part => part.Ticks / header.ClockHertz).MinBy(seconds => Math.Abs(seconds - Seconds(row[1])));
            double on = half - blanker.OnDelaySeconds + blanker.OffDelaySeconds, off = half - blanker.OffDelaySeconds + blanker.OnDelaySeconds;
            double mean = set.Machine.Beam.CurrentAmperes * (on + off * blanker.LeakFraction) / (2 * half);
            Near(mean, ValueOf(row[4], Unit.Ampere), 1e-3 * mean);
        }
    }

    [Theory]
    [MemberData(nameof(Any))]
    public void Scan_enable_is_up_for_the_time_of_all_records(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("scan-enable");
        Near(records.Sum(record => record.Ticks) / header.ClockHertz, Seconds(set.Fact("scan-enable", "Up for")), 1e-7);
        double before = records.TakeWhile(record => record.Kind == RecordKind.Wait).Sum(record => record.Ticks) / header.ClockHertz;
        Near(before, Seconds(set.Fact("scan-enable", "From its rise to the first move")), 1e-9);
        Assert.InRange(before - set.Machine.Blanker.ScanEnableSeconds, 0, 1 / header.ClockHertz);
    }

    /// <summary>On the sample, whatever way the outputs drive it: a spoke at the right, a turn counterclockwise, nothing at the lower right.</summary>
    [Theory]
    [MemberData(nameof(Any))]
    public void The_circle_on_scrap_lies_as_the_page_says(string machine)
    {
        BringUpSet set = Written(machine);
        (RecordsHeader header, List<DeflectionRecord> records) = set.Decoded("scrap-circle");
        Deflection ideal = set.Machine.Deflection with { LinearityX = null, LinearityY = null, Crosstalk = null };
        var mapping = new DacMapping(set.Machine.Dac, ideal);
        int passes = records.Count(record => record.Kind == RecordKind.Jump);
        List<DeflectionRecord> dots = [.. records.Where(record => record.Kind == RecordKind.Dot)];
        (double X, double Y)[] places = [.. dots.Take(dots.Count / passes).Select(dot => mapping.PlaceOf(dot.X, dot.Y))];
        double code = Math.Max(Math.Abs(header.NanometresPerCodeX), Math.Abs(header.NanometresPerCodeY));
        double diameter = ValueOf(set.Fact("scrap-circle", "Diameter on the sample, without calibration"), Unit.Nanometre);
        int arc = Array.FindIndex(places, place => Math.Abs(place.X - CentreX() - diameter / 2) < 2 * code + 1e-3 * diameter);
        (double cx, double cy) = (CentreX(), places[0].Y);
        Assert.All(places[..arc], place => Assert.True(Math.Abs(place.Y - cy) <= code && place.X - cx > diameter / 4 - 2 * code));
        Assert.All(places[(arc + 1)..], place => Near(diameter / 2, Math.Sqrt(Square(place.X - cx) + Square(place.Y - cy)), 2 * code + 1e-3 * diameter));
        Assert.DoesNotContain(places[(arc + 1)..^1], place => place.X - cx > 2 * code && place.Y - cy < -2 * code);
        (double X, double Y) top = places.MaxBy(place => place.Y), left = places.MinBy(place => place.X), last = places[^1];
        Assert.True(Array.IndexOf(places, top) < Array.IndexOf(places, left) && Math.Abs(last.X - cx) <= 2 * code && last.Y < cy);
        double dose = dots.Sum(dot => dot.Ticks) / header.ClockHertz * set.Machine.Beam.CurrentAmperes / Length();
        Near(dose, ValueOf(set.Fact("scrap-circle", "Dose of the line at the current of the machine file"), Unit.CoulombPerMetre), 0.02 * dose);

        double CentreX() => places[^1].X;
        double Length() => 1e-9 * dots.Count / passes * 3 * Math.PI / 4 * diameter / (places.Length - arc);
    }

    [Fact]
    public void A_machine_whose_outputs_may_hardly_move_is_refused()
    {
        string machine = Plain.Replace("invert_y: yes", "usable_x: [32740, 32803]", StringComparison.Ordinal);
        Assert.Equal(
            "error PC5006: the outputs may move over 64 codes, a bring-up needs more than 64; correct 'usable_x' and 'usable_y' in the machine file",
            Assert.Throws<CompileException>(() => new BringUpSet(machine)).Message);
        Assert.NotEmpty(new BringUpSet(machine.Replace("32803", "32804", StringComparison.Ordinal)).Names);
    }

    [Fact]
    public void Names_are_told_before_anything_is_written()
    {
        BringUpSet set = Written("plain");
        Assert.Equal(set.Files.Written.Keys.Order(StringComparer.Ordinal), new BringUpFiles(set.Settings, 5e-7, "bench").Names.Order(StringComparer.Ordinal));
    }

    private static readonly ConcurrentDictionary<string, BringUpSet> Sets = new(StringComparer.Ordinal);

    private static BringUpSet Written(string machine) => Sets.GetOrAdd(machine, name => new BringUpSet(Machines[name]));

    private static List<(bool IsOn, long Ticks)> LineOf(List<DeflectionRecord> records)
    {
        var line = new List<(bool IsOn, long Ticks)>();
        foreach (DeflectionRecord record in records)
        {
            bool isOn = record.Points > 0;
            if (line.Count > 0 && line[^1].IsOn == isOn)
            {
                line[^1] = (isOn, line[^1].Ticks + record.Ticks);
            }
            else
            {
                line.Add((isOn, record.Ticks));
            }
        }

        return line;
    }

    private static (double Height, double Phase) Harmonic(IEnumerable<int> codes)
    {
        int[] all = [.. codes];
        (double sine, double cosine) = (0, 0);
        for (int i = 0; i < all.Length; i++)
        {
            (double s, double c) = Math.SinCos(2 * Math.PI * i / all.Length);
            (sine, cosine) = (sine + all[i] * s, cosine + all[i] * c);
        }

        return (2 * Math.Sqrt(sine * sine + cosine * cosine) / all.Length, Math.Atan2(cosine, sine));
    }

    private static double Square(double value) => value * value;

    private static void Near(double expected, double found, double tolerance) => Assert.True(Math.Abs(expected - found) <= tolerance, $"expected {expected}, found {found}, allowed {tolerance}");

    private static double Volts(string text) => ValueOf(text, Unit.Volt);

    private static double Hertz(string text) => ValueOf(text, Unit.Hertz);

    private static double Seconds(string text)
    {
        string[] parts = text.Split('\u00A0');
        return parts is [var minutes, "min", var rest, "s"]
            ? 60 * double.Parse(minutes, CultureInfo.InvariantCulture) + double.Parse(rest, CultureInfo.InvariantCulture)
            : ValueOf(text, Unit.Second);
    }

    private static double ValueOf(string text, Unit unit)
    {
        string plain = text.Replace('\u2212', '-').Replace('µ', 'u').Replace('\u00A0', ' ');
        Assert.True(Quantity.TryParse(plain, [unit.Dimension], out Quantity value, out _), text);
        return value.In(unit);
    }
}
