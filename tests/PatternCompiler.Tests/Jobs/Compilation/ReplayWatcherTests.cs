using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Simulation;
using PatternCompiler.Tests.Passes.Scale;

namespace PatternCompiler.Tests.Jobs.Compilation;

public sealed class ReplayWatcherTests
{
    /// <summary>A field 5 um to the right of the pattern's middle and 3 um below it, which the stage misses by (0.7, −0.2) um.</summary>
    [Fact]
    public void Charge_lies_where_the_stage_puts_its_field()
    {
        var field = new WriteField(1, 2, "r02c03", new GridPoint(5000, -3000), default);
        var position = StagePosition.Of(field, 1000, 0, (0, 0), 0);
        StageErrors errors = StageErrors.Given([(2, 3, 700, -200)], "t");
        (double x, double y) = Middle(StagePosition.Only, errors);
        AssertMoved(5000, -3000, Middle(position, null));
        AssertMoved(5700, -3200, Middle(position, errors));

        void AssertMoved(double dx, double dy, (double X, double Y) moved)
        {
            Assert.Equal(dx, moved.X - x, 1e-3);
            Assert.Equal(dy, moved.Y - y, 1e-3);
        }
    }

    private static (double X, double Y) Middle(StagePosition position, StageErrors? errors)
    {
        const double Pixel = 10;
        var map = new ChargeMap(Pixel);
        Machine machine = DefaultFiles.Machine with
        {
            Dac = ScaleCase.Options.Dac,
            Deflection = ScaleCase.Options.Deflection,
            Clock = ScaleCase.Options.Clock,
            Settle = new SettleModel(0, 0, 0),
            Blanker = new Blanker(true, true, 0, 0, 0),
        };
        var watcher = new ReplayWatcher(machine, map, errors);
        watcher.Begin(position);
        watcher.Records!.Begin(ScalePass.HeaderOf(ScaleCase.Options));
        watcher.Records.Write([DeflectionRecord.Jump(30_000, 40_000, 10), DeflectionRecord.Dot(30_000, 40_000, 1000)]);
        watcher.Records.End();
        double sum = 0, x = 0, y = 0;
        foreach ((int Column, int Row) place in map.TilePlaces)
        {
            float[] tile = map.Tile(place)!.Pixels();
            for (int i = 0; i < tile.Length; i++)
            {
                sum += tile[i];
                x += tile[i] * ((place.Column * ChargeMap.TileSide) + (i % ChargeMap.TileSide)) * Pixel;
                y += tile[i] * ((place.Row * ChargeMap.TileSide) + (i / ChargeMap.TileSide)) * Pixel;
            }
        }

        return (x / sum, y / sum);
    }
}
