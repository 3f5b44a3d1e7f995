using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Runs;

namespace PatternCompiler.Tests.Passes.Scale;

/// <summary>
/// Waits against their definition: what all moves have left, added up move by move and part by part, is within half a code in each axis when
/// a wait ends and from then on; two ticks before, the sizes of its parts were still more together. Axes differ in field, response and way.
/// </summary>
public sealed class ScanMemoryTests
{
    private const double ClockHertz = 10e6;
    private const double FixedSeconds = 2e-6;
    private static readonly SettlePart[] AlongX = [new(0.9, 3e-6), new(0.1, 40e-6)];
    private static readonly SettlePart[] AlongY = [new(1.2, 5e-6), new(-0.3, 9e-6), new(0.1, 70e-6)];

    [Fact]
    public void A_wait_ends_when_what_is_left_of_all_moves_is_within_half_a_code_in_each_axis() => Gen.Select(
        Gen.Bool, Gen.Bool, Gen.Select(Gen.Int[-30_000, 30_000], Gen.Int[-20_000, 20_000], Gen.Int[0, 3], Gen.Int[0, 300]).Array[1, 8]).Sample(
        (swaps, isExchanged, moves) =>
        {
            Machine machine = MachineFile.Parse(RunCase.Machine.Replace("field: 100 um", $"field_width: 120 um, field_height: 75 um, swap_axes: {(swaps ? "yes" : "no")}", StringComparison.Ordinal), null);
            (SettlePart[] x, SettlePart[] y) = isExchanged ? (AlongY, AlongX) : (AlongX, AlongY);
            var memory = new ScanMemory(new SettleModel(FixedSeconds, 0, 0) { ResponseX = [.. x], ResponseY = [.. y] }, ClockHertz, new DacMapping(machine.Dac, machine.Deflection));

            // The field's width lies along x on the sample, whichever output moves the beam there.
            double span = machine.Dac.FullScale == DacFullScale.OneBeyondLastCode ? 65536 : 65535;
            (double halfX, double halfY) = (120_000 / span / 2, 75_000 / span / 2);
            List<(double At, double StepX, double StepY)> steps = [];
            (double time, double placeX, double placeY) = (0, moves[0].Item1 - 120_000.0, moves[0].Item2 - 75_000.0);
            foreach ((int toX, int toY, int kind, int ticks) in moves)
            {
                // Along x alone, along y alone, along both.
                (double nextX, double nextY) = (kind == 1 && steps.Count > 0 ? placeX : toX, kind == 2 && steps.Count > 0 ? placeY : toY);
                steps.Add((time, nextX - placeX, nextY - placeY));
                (placeX, placeY) = (nextX, nextY);
                (long atX, long atY) = ((long)placeX * 1_000_000, (long)placeY * 1_000_000);
                if (kind == 3)
                {
                    memory.Pass(atX, atY, ticks);
                    time += ticks / ClockHertz;
                    continue;
                }

                long wait = memory.Jump(atX, atY, 7);
                double end = time + wait / ClockHertz;
                for (int later = 0; later < 400; later += 5)
                {
                    Assert.InRange(Math.Abs(Left(x, step => step.StepX, end + later / ClockHertz)), 0, halfX * (1 + 1e-6));
                    Assert.InRange(Math.Abs(Left(y, step => step.StepY, end + later / ClockHertz)), 0, halfY * (1 + 1e-6));
                }

                // Parts of both signs count with their sizes, so that what is left does not come back: the wait may be a little long.
                double before = end - 2 / ClockHertz;
                Assert.True(
                    wait <= Math.Ceiling(FixedSeconds * ClockHertz) || Sizes(x, step => step.StepX, before) > halfX || Sizes(y, step => step.StepY, before) > halfY,
                    $"the wait of {wait} ticks is longer than needed");
                time = end;
            }

            double Left(SettlePart[] parts, Func<(double At, double StepX, double StepY), double> along, double at) =>
                steps.Sum(step => along(step) * parts.Sum(part => part.Part * Math.Exp(-(at - step.At) / part.TimeConstantSeconds)));

            double Sizes(SettlePart[] parts, Func<(double At, double StepX, double StepY), double> along, double at) =>
                parts.Sum(part => Math.Abs(steps.Sum(step => along(step) * part.Part * Math.Exp(-(at - step.At) / part.TimeConstantSeconds))));
        },
        iter: Iterations.Usually(100));

    [Fact]
    public void Measured_waits_hold_and_are_remembered()
    {
        Machine machine = MachineFile.Parse(RunCase.Machine, null);
        var memory = new ScanMemory(new SettleModel(FixedSeconds, 0, 0) { ResponseX = [.. AlongX], ResponseY = [.. AlongY], Table = [new(1, 1e-6)] }, ClockHertz, new DacMapping(machine.Dac, machine.Deflection));
        Assert.Equal(7, memory.Jump(0, 0, 7));
        Assert.Equal(1234, memory.Jump(1_000_000, 0, 1234));
    }
}
