using System.Collections.Immutable;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>
/// Lag that is cancelled where the deflection settles with two exponentials, another pair along each axis: the records are followed part by part,
/// and in the middle of a point's time the beam is where the point is wanted.
/// </summary>
public sealed class CancelledLagTests
{
    private static readonly ImmutableArray<SettlePart> AlongX = [new(0.8, 5e-6), new(0.2, 60e-6)];
    private static readonly ImmutableArray<SettlePart> AlongY = [new(0.7, 9e-6), new(0.3, 30e-6)];

    private static readonly ScaleOptions Cancelling = ScaleCase.Options with { Settle = new SettleModel(1e-6, 0, 0) { ResponseX = AlongX, ResponseY = AlongY, CancelsLag = true } };

    [Theory]
    [InlineData(8000, 3000)]
    [InlineData(-8000, 3000)]
    [InlineData(3000, -8000)]
    [InlineData(0, 5000)]
    [InlineData(-5000, 0)]
    public void The_beam_is_where_a_point_is_wanted(long right, long up)
    {
        // A point to 1 us: up to 80 nm/us, at which a response of 16 us lags 1.3 um behind. Then a point that goes on, and a second line from there.
        const long Nanometre = 1_000_000;
        const int Points = 101;
        (long x, long y) = (300, -1200);
        Stroke[] strokes =
        [
            Stroke.Jump(0, x * Nanometre, y * Nanometre),
            Stroke.Line(0, x * Nanometre, y * Nanometre, (x + right) * Nanometre, (y + up) * Nanometre, Points, Points * 10 * ScaleCase.TickCharge),
            Stroke.Dot(0, (x + right + right / 100) * Nanometre, (y + up + up / 100) * Nanometre, 10 * ScaleCase.TickCharge),
            Stroke.Jump(0, y * Nanometre, x * Nanometre),
            Stroke.Line(0, y * Nanometre, x * Nanometre, (y + up) * Nanometre, (x + right) * Nanometre, Points, Points * 10 * ScaleCase.TickCharge),
        ];
        (double X, double Y)[] wanted =
        [
            .. Enumerable.Range(0, Points + 1).Select(i => (x + right * i / 100.0, y + up * i / 100.0)),
            .. Enumerable.Range(0, Points).Select(i => (y + up * i / 100.0, x + right * i / 100.0)),
        ];

        // A line starts from its first place, where the beam rests, so that its first points are up to half a step ahead.
        double step = Math.Max(Math.Abs(right), Math.Abs(up)) / 100.0;
        (double largest, double settled) = Misses(true, strokes, wanted);
        Assert.InRange(largest, 0, step / 2);
        Assert.InRange(settled, 0, 1.5);
        Assert.InRange(Misses(false, strokes, wanted).Settled, 10 * step, 40 * step);

        // The jump lasts until its slowest part, a fifth of at most 13 um with 60 us, is within half a code of 1 nm: the places before it are known.
        Assert.InRange(ScaleCase.Scale(Cancelling, strokes).Where(record => record.Kind == RecordKind.Jump).Select(record => record.Ticks).Last(), 2000, 10 * 60 * Math.Log(0.2 * 13_000 / 0.5));
    }

    // A code is 1 nm, from the middle of 65536; a tick is 100 ns.
    private static (double Largest, double Settled) Misses(bool cancels, Stroke[] strokes, (double X, double Y)[] wanted)
    {
        ScaleOptions options = Cancelling with { Settle = Cancelling.Settle with { CancelsLag = cancels } };
        (double commandX, double commandY) = (0, 0);
        (double[] leftX, double[] leftY) = (new double[2], new double[2]);
        (double largest, double settled) = (0, 0);
        int next = 0;
        foreach (DeflectionRecord record in ScaleCase.Scale(options, strokes))
        {
            for (int i = 0; i < Math.Max(1, record.Points); i++)
            {
                (int codeX, int codeY) = record.Points > 0 ? LinePoints.At(record, i) is var point ? (point.X, point.Y) : default : (record.X, record.Y);
                long ticks = record.Points > 0 ? LinePoints.At(record, i).Ticks : record.Ticks;
                Send(AlongX, leftX, codeX - 32_768 - commandX);
                Send(AlongY, leftY, codeY - 32_768 - commandY);
                (commandX, commandY) = (codeX - 32_768, codeY - 32_768);
                Settle(AlongX, leftX, ticks * 0.5e-7);
                Settle(AlongY, leftY, ticks * 0.5e-7);
                if (record.Points > 0)
                {
                    (double beamX, double beamY) = (commandX - leftX.Sum(), commandY - leftY.Sum());
                    double miss = Math.Max(Math.Abs(beamX - wanted[next].X), Math.Abs(beamY - wanted[next].Y));
                    largest = Math.Max(largest, miss);
                    settled = next % 102 >= 60 ? Math.Max(settled, miss) : settled;
                    next++;
                }

                Settle(AlongX, leftX, ticks * 0.5e-7);
                Settle(AlongY, leftY, ticks * 0.5e-7);
            }
        }

        Assert.Equal(wanted.Length, next);
        return (largest, settled);

        static void Send(ImmutableArray<SettlePart> parts, double[] left, double step)
        {
            for (int k = 0; k < left.Length; k++)
            {
                left[k] += parts[k].Part * step;
            }
        }

        static void Settle(ImmutableArray<SettlePart> parts, double[] left, double seconds)
        {
            for (int k = 0; k < left.Length; k++)
            {
                left[k] *= Math.Exp(-seconds / parts[k].TimeConstantSeconds);
            }
        }
    }
}
