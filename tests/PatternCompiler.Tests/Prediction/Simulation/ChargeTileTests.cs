using CsCheck;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Prediction.Simulation;

public sealed class ChargeTileTests
{
    private const int Side = ChargeMap.TileSide;

    // Halves and whole numbers are where the nearest pixel changes, and where a part gets nothing.
    private static readonly Gen<ChargeDeposit> Deposits =
        from u in Gen.Int[-2 * Side - 8, 2 * Side + 8]
        from v in Gen.Int[-8, 8]
        from fine in Gen.Double[0, 1]
        from isWhole in Gen.Bool
        from dose in Gen.Double[0, 10]
        select new ChargeDeposit((u / 2.0) + (isWhole ? 0 : fine), (v / 2.0) + (isWhole ? 0 : fine * 0.7), dose);

    /// <summary>Nine products of the spline's weights, added pixel by pixel in the order in which charge falls.</summary>
    [Fact]
    public void A_map_holds_what_the_spline_gives_in_every_pixel() => Deposits.Array[1, 40].Sample(
        deposits =>
        {
            var map = new ChargeMap(1);
            var expected = new Dictionary<(int, int), float>();
            foreach (ChargeDeposit deposit in deposits)
            {
                map.Deposit(deposit.U + 0.5, deposit.V + 0.5, deposit.Dose * 1e-18);
                var (u, v) = (deposit.U + 0.5 - 0.5, deposit.V + 0.5 - 0.5);
                double dose = deposit.Dose * 1e-18 * (1 / 1e-18);
                foreach ((int row, double up) in Weights(v))
                {
                    foreach ((int column, double right) in Weights(u))
                    {
                        expected[(column, row)] = expected.GetValueOrDefault((column, row)) + (float)(dose * right * up);
                    }
                }
            }

            return expected.All(pixel => Math.Abs(At(map, pixel.Key) - pixel.Value) <= 1e-5f * Math.Max(1, pixel.Value));
        },
        iter: Iterations.Usually(300));

    /// <summary>So many that pixels take their place: the sums stay the same to the last bit, whole or in part.</summary>
    [Theory]
    [InlineData(100)]
    [InlineData(10_879)]
    [InlineData(10_880)]
    [InlineData(10_881)]
    [InlineData(20_000)]
    public void Few_and_many_deposits_give_the_same_sums(int count)
    {
        var random = new Random(3);
        var tile = new ChargeTile(256, -512);
        var plain = new float[Side * Side];
        for (int i = 0; i < count; i++)
        {
            var deposit = new ChargeDeposit(254 + (260 * random.NextDouble()), -514 + (260 * random.NextDouble()), random.NextDouble());
            tile.Add(deposit);
            deposit.AddTo(plain, Side, 256, -512, Side, Side);
        }

        Assert.Equal(plain, tile.Pixels());
        var part = new float[5 * 40];
        Array.Fill(part, 7);
        tile.Copy(300, -400, 31, 4, part.AsSpan(2), 40);
        for (int i = 0; i < part.Length; i++)
        {
            (int column, int row) = ((i % 40) - 2, i / 40);
            bool isCopied = column is >= 0 and < 31 && row < 4;
            Assert.Equal(isCopied ? plain[(((row - 400) + 512) * Side) + column + 300 - 256] : 7, part[i]);
        }
    }

    [Fact]
    public void Only_tiles_that_get_charge_are_there()
    {
        var map = new ChargeMap(1);

        // In the middle of the last pixel but one: its right neighbour is the last of the tile.
        map.Deposit(254.5, 100.5, 1e-18);
        Assert.Equal([(0, 0)], map.TilePlaces);

        // On the edge between two pixels: the farthest of three gets nothing.
        map.Deposit(255, 100.5, 1e-18);
        Assert.Equal([(0, 0)], map.TilePlaces);
        map.Deposit(255.1, 100.5, 1e-18);
        Assert.Equal([(0, 0), (1, 0)], map.TilePlaces);
        map.Deposit(-0.2, -0.2, 1e-18);
        Assert.Equal([(-1, -1), (0, -1), (-1, 0), (0, 0), (1, 0)], map.TilePlaces);
        map.Deposit(1000.5, 1000.5, 0);
        Assert.Equal(5, map.TilePlaces.Count());
        Assert.Equal(5L * Side * Side, map.Pixels);
    }

    private static IEnumerable<(int Place, double Weight)> Weights(double at)
    {
        int middle = (int)Math.Round(at);
        for (int place = middle - 2; place <= middle + 2; place++)
        {
            double distance = Math.Abs(at - place);
            yield return (place, distance <= 0.5 ? 0.75 - (distance * distance) : distance < 1.5 ? (1.5 - distance) * (1.5 - distance) / 2 : 0);
        }
    }

    private static float At(ChargeMap map, (int Column, int Row) pixel)
    {
        var one = new float[1];
        map.Tile((pixel.Column >> 8, pixel.Row >> 8))?.Copy(pixel.Column, pixel.Row, 1, 1, one, 1);
        return one[0];
    }
}
