using System.Globalization;
using System.Text;
using CsCheck;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// The receiver in C on an emulated board behind an emulated link, against the estimate: where the link is fast enough and the
/// buffer large enough the beam stays on from block to block, and elsewhere it goes off exactly where the estimate says.
/// </summary>
public sealed class BoardTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const int TicksPerSecond = 10_000_000;
    private const int LargestBlock = 526;

    /// <summary>Blocks of 51 dots in 524 bytes.</summary>
    private const int DotsPerBlock = 51;
    private const int BytesPerBlock = 524;
    private static readonly int[] Rates = [100_000, 500_000, 1_000_000, 4_000_000];
    private static readonly int[] RoundTrips = [0, 1000, 2000, 16_000];
    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), TicksPerSecond, 1, 65535, 1, 1, false);

    /// <summary>The link has twice the needed rate and the buffer holds the needed rate times the round trip and two blocks' time.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(16)]
    public void At_twice_the_needed_rate_and_with_the_pages_buffer_no_block_leaves_a_gap(int roundTripMilliseconds)
    {
        const int LinkRate = 1_000_000;
        const int DotTicks = 210;
        double blockSeconds = DotsPerBlock * DotTicks / (double)TicksPerSecond;
        double neededRate = BytesPerBlock / blockSeconds;
        Assert.InRange(LinkRate / neededRate, 2, 2.1);
        double buffer = neededRate * (roundTripMilliseconds * 1e-3 + 2 * blockSeconds);
        int rooms = (int)Math.Ceiling(buffer / LargestBlock);
        DeflectionRecord[] items = [.. Enumerable.Range(0, 20_000).Select(i => DeflectionRecord.Dot(i, 7 * i & 0xFFFF, DotTicks))];
        int roundTrip = 1000 * roundTripMilliseconds;
        Assert.Equal((0, 0, 0), Board(items, LinkRate, roundTrip, rooms));
        LinkEstimate estimate = Estimate(items, LinkRate, roundTrip, rooms);
        Assert.Equal(0, estimate.Stalls);

        // What the estimate says is needed is enough, and a room less than the needed one is not.
        int needed = (int)estimate.NeededBlocks!.Value;
        Assert.InRange(needed, 2, 2 * rooms);
        Assert.Equal((0, 0, 0), Board(items, LinkRate, roundTrip, needed));
        int few = Enumerable.Range(2, needed).TakeWhile(n => Estimate(items, LinkRate, roundTrip, n).StallsAmidExposure > 0).LastOrDefault(2);
        if (Estimate(items, LinkRate, roundTrip, few).StallsAmidExposure > 0)
        {
            Assert.True(Board(items, LinkRate, roundTrip, few).AmidExposure > 0);
        }
    }

    /// <summary>Links of all kinds: too slow, too far, with few rooms and many; segments that end within blocks and go on through several.</summary>
    [Fact]
    public void It_waits_as_often_and_as_long_as_the_estimate_says() => Cases.Sample(
        found =>
        {
            var (items, rate, roundTrip, rooms) = found;
            LinkEstimate estimate = Estimate(items, rate, roundTrip, rooms);
            (int stalls, int amid, double seconds) = Board(items, rate, roundTrip, rooms);
            Assert.Equal((estimate.Stalls, estimate.StallsAmidExposure), (stalls, amid));
            Assert.Equal(estimate.StallSeconds, seconds, 1e-9 * (1 + stalls));
        },
        iter: Iterations.Usually(60),
        threads: 1);

    private static Gen<(DeflectionRecord[] Items, int Rate, int RoundTrip, int Rooms)> Cases =>
        from dwell in Gen.Int[10, 400]
        from items in Record(dwell).Array[1, 800]
        from rate in Gen.Int[0, Rates.Length - 1].Select(i => Rates[i])
        from roundTrip in Gen.Int[0, RoundTrips.Length - 1].Select(i => RoundTrips[i])
        from rooms in Gen.Int[2, 20]
        select (items, rate, roundTrip, rooms);

    // Markers alone take no time, so a block of them alone would be done as it comes; they stand before other records here.
    private static Gen<DeflectionRecord> Record(int dwell) => Gen.Frequency(
        (1, Gen.Int[1, 5000].Select(ticks => DeflectionRecord.Jump(ticks, 1, ticks))),
        (1, Gen.Int[1, 500].Select(ticks => DeflectionRecord.Wait(ticks))),
        (12, Gen.Int[1, dwell].Select(ticks => DeflectionRecord.Dot(ticks, 2, ticks))));

    private static LinkEstimate Estimate(DeflectionRecord[] items, int rate, int roundTripMicroseconds, int rooms)
    {
        var trace = new LinkTrace(new Link(rate, 0, false) { LatencySeconds = roundTripMicroseconds * 1e-6, Blocks = rooms }, TicksPerSecond);
        var size = new StreamSize(Header, StreamProfile.Points, trace);
        foreach (DeflectionRecord item in items)
        {
            size.Add(item, item.TimedTicks, default);
        }

        size.End();
        return trace.ToEstimate();
    }

    private (int Stalls, int AmidExposure, double Seconds) Board(DeflectionRecord[] items, int rate, int roundTripMicroseconds, int rooms)
    {
        using var target = new MemoryStream();
        var writer = new ExposureStreamWriter(target, StreamProfile.Points);
        writer.Begin(Header);
        writer.Write(items);
        writer.End();
        string file = Path.GetTempFileName();
        try
        {
            File.WriteAllBytes(file, target.ToArray());
            (int exitCode, byte[] output, string error) = receiver.Run(
                "board", [], "16", "1", file, $"{TicksPerSecond}", $"{rate}", $"{roundTripMicroseconds}", $"{rooms}");
            Assert.True(exitCode == 0, error);
            string[] words = Encoding.ASCII.GetString(output).Split();
            Assert.Equal("D", words[0]);
            return (int.Parse(words[1], CultureInfo.InvariantCulture), int.Parse(words[2], CultureInfo.InvariantCulture), long.Parse(words[3], CultureInfo.InvariantCulture) * 1e-12);
        }
        finally
        {
            File.Delete(file);
        }
    }
}
