using System.Globalization;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Oracles.Prediction;

/// <summary>
/// Stalls against <c>link_simulation.py</c> beside this file, which reads the bytes of the stream by the stream's page and lets
/// sender, link and controller run event by event.
/// </summary>
public class LinkOracleTests
{
    private const int Links = 50;
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
            i < BaudRates.Length ? BaudRates[i] / 10 : need * Math.Pow(10, (random.NextDouble() * 4) - 1), BufferBytes(random), interpolatesLines))];
        (long Stalls, double Seconds, double Longest)[] expected = Simulate(header, records, links);
        for (int i = 0; i < links.Length; i++)
        {
            LinkEstimate found = Estimate(header, records, links[i]);
            Assert.True(expected[i].Stalls == found.Stalls, $"{links[i]}: {expected[i].Stalls} stalls, estimated {found.Stalls}");
            Assert.Equal(expected[i].Seconds, found.StallSeconds, 1e-9 * expected[i].Seconds);
            Assert.Equal(expected[i].Longest, found.LongestStallSeconds, 1e-9 * expected[i].Longest);
        }

        // Links that never stall, that stall now and then, and that stall at every block.
        long most = expected.Max(e => e.Stalls);
        Assert.InRange(expected.Count(e => e.Stalls == 0), 3, Links - 10);
        Assert.InRange(expected.Count(e => e.Stalls > 0 && e.Stalls < most / 2), 5, Links);
        Assert.InRange(expected.Count(e => e.Stalls > most / 2), 5, Links);
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

    private static (long Stalls, double Seconds, double Longest)[] Simulate(RecordsHeader header, DeflectionRecord[] records, Link[] links)
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
                [program, path, .. links.Select(link => string.Create(CultureInfo.InvariantCulture, $"{link.BytesPerSecond:R}:{link.BufferBytes}"))]);
            Assert.True(exitCode == 0, errors);
            return [.. output.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Split(' ')).Select(parts => (
                long.Parse(parts[0], CultureInfo.InvariantCulture),
                double.Parse(parts[1], CultureInfo.InvariantCulture),
                double.Parse(parts[2], CultureInfo.InvariantCulture)))];
        }
        finally
        {
            File.Delete(path);
        }
    }
}
