using System.Globalization;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Prediction;

/// <summary>
/// Stalls against <c>link_simulation.py</c> beside this file, which reads the bytes of the stream by the stream's page and lets
/// sender, link and controller run event by event.
/// </summary>
public class LinkOracleTests
{
    private static readonly int Links = Iterations.Usually(50);
    private const double ClockHertz = 10e6;
    private static readonly double[] BaudRates = [9600, 38_400, 115_200, 921_600, 3_000_000];

    /// <summary>Points of two-byte words, lines of two-byte words, and points of three-byte words out of long lines.</summary>
    [PythonTheory]
    [InlineData(16, false, 1)]
    [InlineData(16, true, 2)]
    [InlineData(20, false, 3)]
    public void Fifty_links(int bits, bool interpolatesLines, int seed)
    {
        var random = new Random(seed);
        var dac = new Dac(bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        var header = new RecordsHeader("m", dac, ClockHertz, 1, long.MaxValue, 1, 1, false);
        DeflectionRecord[] records = Records(random);
        double need = Estimate(header, records, new Link(1e9, 1 << 20, interpolatesLines)).MeanBytesPerSecond;
        Link[] links = [.. Enumerable.Range(0, Links).Select(i => new Link(
            i < BaudRates.Length ? BaudRates[i] / 10 : need * Math.Pow(10, (random.NextDouble() * 4) - 1), BufferBytes(random), interpolatesLines)
        {
            LatencySeconds = i % 2 == 0 ? 0 : random.Next(200_000) / ClockHertz,
        })];
        Course[] expected = Simulate(header, records, links);
        for (int i = 0; i < links.Length; i++)
        {
            LinkEstimate found = Estimate(header, records, links[i]);
            Assert.True(expected[i].Stalls == found.Stalls, $"{links[i]}: {expected[i].Stalls} stalls, estimated {found.Stalls}");
            Assert.Equal(expected[i].Seconds, found.StallSeconds, 1e-9 * expected[i].Seconds);
            Assert.Equal(expected[i].Longest, found.LongestStallSeconds, 1e-9 * expected[i].Longest);
            Assert.Equal(expected[i].Amid, found.StallsAmidExposure);
            Assert.Equal(expected[i].AmidSeconds, found.StallSecondsAmidExposure, 1e-9 * expected[i].AmidSeconds);
        }

        // Links that never stall, that stall now and then, and that stall at every block.
        long most = expected.Max(e => e.Stalls);
        Assert.InRange(expected.Count(e => e.Stalls == 0), 3, Links - 10);
        Assert.InRange(expected.Count(e => e.Stalls > 0 && e.Stalls < most / 2), 5, Links);
        Assert.InRange(expected.Count(e => e.Stalls > most / 2), 5, Links);
        Assert.Contains(expected, e => e.Amid > 0 && e.Amid < e.Stalls);
    }

    /// <summary>
    /// The buffer and the rate that are said to be needed are enough, and the next smaller ones that are tried are not: by the simulation,
    /// which knows of no such search.
    /// </summary>
    [PythonTheory]
    [InlineData(16, false, 4)]
    [InlineData(16, true, 5)]
    public void What_is_needed_is_enough_and_no_less_is(int bits, bool interpolatesLines, int seed)
    {
        var random = new Random(seed);
        var dac = new Dac(bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode);
        var header = new RecordsHeader("m", dac, ClockHertz, 1, long.MaxValue, 1, 1, false);
        DeflectionRecord[] records = Records(random);
        double need = Estimate(header, records, new Link(1e9, 1 << 20, interpolatesLines)).MeanBytesPerSecond;
        long[] tried = [.. Enumerable.Range(0, 13).SelectMany(power => new[] { 1L << power, 3L << power >> 1 }).Where(n => n <= 4096).Distinct().Order()];
        double[] rates = [1, 1.5, 2, 3, 4, 6, 8, 12, 16];
        int found = 0;
        for (int i = 0; i < 3; i++)
        {
            var link = new Link(need * Math.Pow(10, random.NextDouble() * (interpolatesLines ? 2.5 : 1.5)), BufferBytes(random), interpolatesLines) { LatencySeconds = random.Next(200_000) / ClockHertz };
            LinkEstimate estimate = Estimate(header, records, link);
            int enough = estimate.NeededBlocks is long blocks ? Array.IndexOf(tried, blocks) : tried.Length;
            Assert.Equal(enough < tried.Length, Keeps(link with { Blocks = tried[Math.Min(enough, tried.Length - 1)] }));
            Assert.False(enough > 0 && Keeps(link with { Blocks = tried[enough - 1] }));
            int fast = estimate.NeededBytesPerSecond is double rate ? Array.IndexOf(rates, rate / link.BytesPerSecond) : rates.Length;
            Assert.Equal(fast < rates.Length, Keeps(link with { BytesPerSecond = rates[Math.Min(fast, rates.Length - 1)] * link.BytesPerSecond }));
            Assert.False(fast > 0 && Keeps(link with { BytesPerSecond = rates[fast - 1] * link.BytesPerSecond }));
            if (estimate.NeededTogether is (double faster, long more))
            {
                Assert.True(Keeps(link with { BytesPerSecond = faster, Blocks = more }));
            }

            found += enough > 0 && enough < tried.Length ? 1 : 0;
        }

        Assert.InRange(found, 1, 3);

        bool Keeps(Link link) => Simulate(header, records, [link])[0].Amid == 0;
    }

    /// <summary>
    /// A buffer of rate × (round trip + two block times) is enough at twice the rate that the busiest stretch needs, whatever the blocks: with round trips
    /// of 1 and 16 ms, where the stretch is as long as that buffer.
    /// </summary>
    [PythonTheory]
    [InlineData(false, 10_000, 6)]
    [InlineData(false, 160_000, 7)]
    [InlineData(true, 160_000, 8)]
    public void The_rule_of_thumb_is_on_the_safe_side(bool interpolatesLines, int roundTripTicks, int seed)
    {
        var random = new Random(seed);
        var header = new RecordsHeader("m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), ClockHertz, 1, long.MaxValue, 1, 1, false);
        foreach (int each in new[] { 5, 20, 200 })
        {
            DeflectionRecord[] records = [DeflectionRecord.Jump(1, 1, 1000), .. Enumerable.Range(0, each == 5 && !interpolatesLines ? 60_000 : 6000).Select(i => interpolatesLines
                ? DeflectionRecord.Line(i, 0, i, 59, 60, 60 * each + random.Next(each))
                : DeflectionRecord.Dot(i % 60_000, 7, each + random.Next(each)))];

            // The busiest two blocks, so that no shorter stretch needs more.
            double need = Estimate(header, records, new Link(1e9, 2 * 526, interpolatesLines)).BusiestBytesPerSecond;
            double roundTrip = roundTripTicks / ClockHertz;
            long blocks = (long)Math.Ceiling(need * (roundTrip + 2 * 526 / need) / 526);
            var link = new Link(2 * need, blocks * 526, interpolatesLines) { LatencySeconds = roundTrip };
            Assert.Equal(0, Simulate(header, records, [link])[0].Amid);
            LinkEstimate estimate = Estimate(header, records, link);
            Assert.Equal(0, estimate.StallsAmidExposure);
            Assert.InRange(estimate.NeededBlocks!.Value, 2, blocks + blocks / 2);
            Assert.NotEqual(0, Simulate(header, records, [link with { Blocks = Math.Max(1, blocks / 3) }])[0].Amid);
        }
    }

    private static long BufferBytes(Random random) => 526 * (1 + (long)(Math.Pow(random.NextDouble(), 2) * 150)) + random.Next(526);

    // Idle and busy stretches, of areas and of single dots, after a first jump that settles.
    private static DeflectionRecord[] Records(Random random)
    {
        List<DeflectionRecord> records = [DeflectionRecord.Jump(100, 100, 200_000)];
        for (int figure = 0; figure < 120; figure++)
        {
            int each = random.Next(4) switch { 0 => 5, 1 => 20, 2 => 200, _ => 3000 };
            records.Add(DeflectionRecord.Marker(figure));
            records.Add(DeflectionRecord.Jump(random.Next(40_000), random.Next(40_000), random.Next(100, 20_000)));
            bool isDots = random.Next(3) == 0;
            for (int i = random.Next(10, 200); i > 0; i--)
            {
                int points = random.Next(1, 60);
                records.Add(isDots
                    ? DeflectionRecord.Dot(random.Next(40_000), i, each)
                    : DeflectionRecord.Line(i, i, i + (3 * points), i, points, ((long)points * each) + random.Next(points)));
            }

            if (random.Next(10) == 0)
            {
                records.Add(DeflectionRecord.Wait(random.Next(1_000_000)));
            }
        }

        records.Add(DeflectionRecord.Line(0, 0, 39_000, 20_000, 13_001, (13_001 * 7) + 4321));
        return [.. records];
    }

    private static LinkEstimate Estimate(RecordsHeader header, DeflectionRecord[] records, Link link)
    {
        var machine = new Machine(
            "m", header.Dac, new Deflection(100_000, 100_000, false, false, false, AffineCalibration.Identity), new SettleModel(0, 0, 0),
            new Clock(ClockHertz, 1, long.MaxValue), new Blanker(true, true, 0, 0, 0), new Beam(1e-10, 10, 30_000), link);
        var estimator = new Estimator(machine);
        estimator.Begin(header);
        estimator.Write(records);
        estimator.End();
        return estimator.ToEstimate().Link;
    }

    private static Course[] Simulate(RecordsHeader header, DeflectionRecord[] records, Link[] links)
    {
        string path = Path.GetTempFileName();
        try
        {
            using (FileStream file = File.Create(path))
            {
                var writer = new ExposureStreamWriter(file, links[0].InterpolatesLines ? StreamProfile.Lines : StreamProfile.Points);
                writer.Begin(header);
                writer.Write(records);
                writer.End();
            }

            string program = OutsidePrograms.Corpus("..", "PatternCompiler.Oracles", "Prediction", "link_simulation.py");
            (int exitCode, string output, string errors) = OutsidePrograms.Run(
                OutsidePrograms.Python,
                [program, path, .. links.Select(link => string.Create(CultureInfo.InvariantCulture, $"{link.BytesPerSecond:R}:{(link.Blocks > 0 ? link.Blocks : link.BufferBytes / 526)}:{Math.Round(link.LatencySeconds * ClockHertz)}"))]);
            Assert.True(exitCode == 0, errors);
            return [.. output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' ')).Select(parts => new Course(
                long.Parse(parts[0], CultureInfo.InvariantCulture),
                double.Parse(parts[1], CultureInfo.InvariantCulture),
                double.Parse(parts[2], CultureInfo.InvariantCulture),
                long.Parse(parts[3], CultureInfo.InvariantCulture),
                double.Parse(parts[4], CultureInfo.InvariantCulture)))];
        }
        finally
        {
            File.Delete(path);
        }
    }

    /// <summary>What the simulation saw: stalls, their time, the longest one, and those with the beam on before and after.</summary>
    private sealed record Course(long Stalls, double Seconds, double Longest, long Amid, double AmidSeconds);
}
