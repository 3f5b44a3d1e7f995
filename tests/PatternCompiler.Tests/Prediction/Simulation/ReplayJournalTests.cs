using CsCheck;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Prediction.Simulation;

/// <summary>A map that gives up its charge and plays its records again holds what one that keeps it holds.</summary>
public sealed class ReplayJournalTests
{
    private const int Middle = 32768;
    private const double Pixel = 8;

    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 16_000_000, 1, 1, false);

    private static readonly SpreadFunction Narrow = new([new(SpreadShape.Gaussian, 30, 1)]);
    private static readonly SpreadFunction Wide = SpreadFunction.TwoGaussian(30, 3000, 0.7);

    private static readonly Gen<DeflectionRecord[]> Records =
        (from kind in Gen.Int[0, 9]
         from x in Gen.Int[-2_000, 2_000]
         from y in Gen.Int[-2_000, 2_000]
         from toX in Gen.Int[-900, 900]
         from toY in Gen.Int[-900, 900]
         from points in Gen.Int[2, 90]
         from ticks in Gen.Int[50, 500]
         select kind switch
         {
             0 => [DeflectionRecord.Wait(ticks)],
             1 => [DeflectionRecord.Marker(ticks)],
             2 => [DeflectionRecord.Jump(Middle + x, Middle + y, ticks)],
             3 => (DeflectionRecord[])[DeflectionRecord.Jump(Middle + x, Middle + y, 400), DeflectionRecord.Dot(Middle + x, Middle + y, ticks)],
             _ =>
             [
                 DeflectionRecord.Jump(Middle + x, Middle + y, 400),
                 DeflectionRecord.Line(Middle + x, Middle + y, Middle + x + toX, Middle + y + toY, points, (long)points * ticks),
             ],
         }).Array[1, 100].Select(parts => parts.SelectMany(part => part).ToArray());

    private static readonly SettleModel[] Deflections =
    [
        new(0, 0, 0),
        new(0, 5e-6, 0),
        new(0, 5e-6, 1e10),
        new(0, 0, 0) { ResponseX = [new(0.9, 4e-6), new(0.1, 1e-4)], ResponseY = [new(0.8, 4e-6), new(0.2, 1e-4)], HysteresisXNanometres = 20 },
    ];

    private static readonly Blanker[] Blankers =
    [
        new(true, true, 0, 0, 0),
        new(true, true, 8e-6, 3e-6, 0.01),
        new(false, true, 0, 0, 0),
        new(true, true, 1e-6, 1e-6, 0) { RiseSeconds = 2e-6, FallSeconds = 3e-6 },
    ];

    private static readonly Gen<(SettleModel Settle, Blanker Blanker, Hum? Hum)> Machines =
        from settle in Gen.Int[0, Deflections.Length - 1]
        from blanker in Gen.Int[0, Blankers.Length - 1]
        from hasHum in Gen.Bool
        select (Deflections[settle], Blankers[blanker], hasHum ? new Hum(50, [new(20, 17)], [new(5, 60)]) : null);

    /// <summary>Deflection that lags and creeps, blankers late, slow and leaky, hum: whatever a replay remembers from record to record.</summary>
    [Fact]
    public void Charge_played_again_is_the_charge_that_fell() => Gen.Select(Records, Machines).Sample(
        (records, machine) =>
        {
            ChargeMap kept = Played(records, machine, null, long.MaxValue);
            ChargeMap again = Played(records, machine, null, 0);
            Assert.True(kept.IsKept);
            Assert.Equal(kept.TilePlaces, again.TilePlaces);
            Assert.Equal(kept.TotalCoulombs, again.TotalCoulombs);
            (int, int)[] places = [.. kept.TilePlaces];
            Assert.Equal(places.Length == 0, again.IsKept);
            if (!again.IsKept)
            {
                var pixels = places.ToDictionary(place => place, place => kept.Tile(place)!.Pixels());
                foreach (MapPart part in MapPart.Of(again, places, 3))
                {
                    AssertSame(pixels, again, part, places);
                }
            }
        },
        iter: Iterations.Usually(25));

    /// <summary>Lines as long as the field, from two positions of the stage, on more pixels than a part has: outlines, edges and maps.</summary>
    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void What_prints_is_the_same_to_the_last_bit(bool hasWindow)
    {
        SampleWindow? window = hasWindow ? new SampleWindow(-9000, -11_000, 12_000, 9500) : null;
        var records = new List<DeflectionRecord>();
        var rings = new ContourSetBuilder();
        for (int k = -4; k <= 4; k++)
        {
            for (int line = 0; line < 6; line++)
            {
                int at = Middle + k * 2300 + line * 15;
                records.AddRange([DeflectionRecord.Jump(Middle - 12_000, at, 400), DeflectionRecord.Line(Middle - 12_000, at, Middle + 12_000, at, 1601, 1601L * 60)]);
            }

            foreach ((int x, int y) in ((int, int)[])[(0, 0), (1, 0), (1, 1), (0, 1)])
            {
                rings.Add(new GridPoint(-120_000 + x * 240_000, k * 23_000 - 75 + y * 900));
            }

            rings.EndRing();
        }

        var drawn = DrawnPattern.OfAreas(rings.ToContourSet());
        (SettleModel, Blanker, Hum?) machine = (new SettleModel(0, 5e-6, 0), new Blanker(true, true, 1e-6, 1e-6, 0), null);
        ChargeMap kept = Played([.. records], machine, window, long.MaxValue);
        ChargeMap again = Played([.. records], machine, window, 0);
        Assert.True(MapPart.Of(again, [.. again.TilePlaces], 40).Count > 1);
        var options = new SimulationOptions(Narrow, 0, kept.TotalCoulombs / 4 / (9 * 24e-6 * 90e-9)) { MapStepNanometres = 32 };
        SimulationResult expected = Developer.Run(kept, drawn, options, CancellationToken.None);
        SimulationResult found = Developer.Run(again, drawn, options, CancellationToken.None);
        AssertSame(expected, found);
        Assert.True(expected.Edges!.Samples - expected.Edges.Lost > 1000, $"{expected.Edges}");
        AssertSame(found, Developer.Run(again, drawn, options, CancellationToken.None));

        // Sums over the border of two parts are rounded otherwise.
        options = options with { Spread = Wide };
        expected = Developer.Run(kept, drawn, options, CancellationToken.None);
        found = Developer.Run(again, drawn, options, CancellationToken.None);
        float largest = expected.Map!.Values.ToArray().Max();
        Assert.All(expected.Map.Values.ToArray().Zip(found.Map!.Values.ToArray()), pair => Assert.Equal(pair.First, pair.Second, 1e-6f * largest));
        Assert.Equal(expected.Edges!.WorstNanometres, found.Edges!.WorstNanometres, 1e-3);
        Assert.Equal(expected.Edges.MeanNanometres, found.Edges.MeanNanometres, 1e-4);
    }

    /// <summary>Records that belong together stay together: a map is cut along its rows where they are rows, and along its columns where they are columns.</summary>
    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_map_is_cut_along_its_records(bool isAcross)
    {
        var records = new List<DeflectionRecord>();
        for (int k = -12_000; k <= 12_000; k += 400)
        {
            (int x, int y, int toX, int toY) = isAcross ? (-12_000, k, 12_000, k) : (k, -12_000, k, 12_000);
            records.AddRange([DeflectionRecord.Jump(Middle + x, Middle + y, 400), DeflectionRecord.Line(Middle + x, Middle + y, Middle + toX, Middle + toY, 2401, 2401L * 60)]);
        }

        ChargeMap map = Played([.. records], (new SettleModel(0, 0, 0), new Blanker(true, true, 0, 0, 0), null), null, 0);
        List<MapPart> parts = MapPart.Of(map, [.. map.TilePlaces], 0);
        Assert.True(parts.Count > 2);
        Assert.All(parts, part => Assert.True(isAcross ? part.Right - part.Left > part.Top - part.Bottom : part.Right - part.Left < part.Top - part.Bottom));
        Assert.Equal(map.TilePlaces.Count(), parts.Sum(part => part.Places.Length));
    }

    [Fact]
    public void Numbers_come_back_as_they_were() => Gen.Long.Array.Sample(numbers =>
    {
        var bytes = new byte[PackedNumbers.Longest * numbers.Length];
        int used = 0;
        foreach (long number in numbers)
        {
            PackedNumbers.Put(number, bytes, ref used);
        }

        ReadOnlySpan<byte> left = bytes.AsSpan(0, used);
        foreach (long number in numbers)
        {
            Assert.Equal(number, PackedNumbers.Take(ref left));
        }

        Assert.True(left.IsEmpty);
    }, iter: Iterations.Usually(100));

    private static ChargeMap Played(DeflectionRecord[] records, (SettleModel Settle, Blanker Blanker, Hum? Hum) of, SampleWindow? window, long mostKeptBytes)
    {
        var map = new ChargeMap(Pixel, window, mostKeptBytes);
        var machine = new Machine(
            "m", Header.Dac, new Deflection(65_536, 65_536, false, false, false, AffineCalibration.Identity), of.Settle,
            new Clock(1e7, 1, 16_000_000), of.Blanker, new Beam(1e-10, 20, 30_000), new Link(1e6, 4096, true)) { Hum = of.Hum };
        foreach (double origin in (ReadOnlySpan<double>)[0, 777])
        {
            var replay = new ExposureReplay(machine, map, origin, -origin);
            replay.Begin(Header);
            replay.Write(records.AsSpan(0, records.Length / 2));
            replay.Write(records.AsSpan(records.Length / 2));
            replay.End();
        }

        return map;
    }

    private static void AssertSame(Dictionary<(int, int), float[]> kept, ChargeMap again, MapPart part, (int Column, int Row)[] places)
    {
        const int Halo = 3;
        const int Side = ChargeMap.TileSide + 2 * Halo;
        var region = new ChargeRegion(again);
        region.Fill(part, Halo);
        var found = new float[Side * Side];
        foreach (int place in part.Places)
        {
            (int firstColumn, int firstRow) = (places[place].Column * ChargeMap.TileSide - Halo, places[place].Row * ChargeMap.TileSide - Halo);
            region.Copy(firstColumn, firstRow, Side, found);
            for (int i = 0; i < found.Length; i++)
            {
                (int column, int row) = (firstColumn + i % Side, firstRow + i / Side);
                float expected = kept.TryGetValue((column >> 8, row >> 8), out float[]? tile) ? tile[(row & 255) * ChargeMap.TileSide + (column & 255)] : 0;
                Assert.True(expected == found[i], $"{expected} and {found[i]} at ({column}, {row})");
            }
        }
    }

    private static void AssertSame(SimulationResult expected, SimulationResult found)
    {
        Assert.Equal(expected.Printed.Points.ToArray(), found.Printed.Points.ToArray());
        Assert.Equal(expected.Map!.Values.ToArray(), found.Map!.Values.ToArray());
        Assert.Equal(
            (expected.Edges!.Samples, expected.Edges.Lost, expected.Edges.MeanNanometres, expected.Edges.ThreeSigmaNanometres, expected.Edges.WorstNanometres),
            (found.Edges!.Samples, found.Edges.Lost, found.Edges.MeanNanometres, found.Edges.ThreeSigmaNanometres, found.Edges.WorstNanometres));
    }
}
