using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Timing;
using PatternCompiler.Prediction.Estimate;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Tests.Passes.Timing;

/// <summary>Beams that rise and fall slowly: what closed forms say against the response integrated in small steps of time.</summary>
public sealed class SlowBlankerTests
{
    private const double Hertz = 1e6;
    private static readonly RecordsHeader Header = new(
        "bench", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), Hertz, 1, 1_000_000, 1, 1, false);

    // Half of the dead times are whole ticks, and some edges are sharp.
    private static readonly Gen<double> Dead = Gen.OneOf(Gen.Double[0, 8], Gen.Int[0, 8].Select(ticks => (double)ticks));
    private static readonly Gen<double> Constant = Gen.Frequency((4, Gen.Double[0.5, 6]), (1, Gen.Const(0.0)));
    private static readonly Gen<BlankerEdges> Edges = Gen.Select(Dead, Constant, Dead, Constant)
        .Select((onDead, rise, offDead, fall) => new BlankerEdges(onDead, rise, offDead, fall));

    /// <summary>However much a figure has got too much, a dwell is not shortened further than it can be.</summary>
    [Theory]
    [InlineData(-2, 0)]
    [InlineData(0, 0)]
    [InlineData(1, 1)]
    [InlineData(3, 3)]
    public void A_dwell_is_shortened_no_further_than_it_can_be(long most, long expected)
    {
        (long less, double left) = ShortPulse.TooLong(new BlankerEdges(3, 15, 2, 4), 0, 20, most, 100);
        Assert.Equal(expected, less);
        Assert.True(left > 10);
    }

    // Of what is integrated below, for a pulse: twice h²/12 times a slope of 1/τ, τ at least half a tick, and e⁻³⁰ of it left out at the end.
    private const double OfIntegration = 1e-4;

    /// <summary>The charge of one pulse; where the beam is wholly on at its end, to e⁻²⁰, the delays alone tell it.</summary>
    [Fact]
    public void A_pulse_has_the_charge_of_its_response() =>
        Gen.Select(Edges, Gen.Double[0.5, 60]).Sample((edges, line) =>
        {
            double charge = Integrate(edges, [(0, line)], line + edges.OffDead + 30 * edges.Fall);
            Assert.Equal(edges.PulseCharge(line), charge, OfIntegration);
            Assert.True(line + edges.OffDead - edges.OnDead <= 20 * edges.Rise || Math.Abs(edges.ChargeByDelays(line) - charge) < OfIntegration);
        }, iter: Iterations.Usually(200));

    /// <summary>Where rise and fall are alike a pulse has the charge of its length, however short: the response is linear.</summary>
    [Fact]
    public void Alike_edges_keep_the_charge_of_any_pulse() =>
        Gen.Select(Gen.Double[0, 5], Gen.Double[0.1, 20], Gen.Double[0.01, 50]).Sample((dead, constant, line) =>
            Assert.Equal(line, new BlankerEdges(dead, constant, dead, constant).PulseCharge(line), 1e-9), iter: Iterations.Usually(100));

    [Fact]
    public void What_passes_while_the_beam_falls_adds_up() =>
        Gen.Select(Edges, Gen.Double[-20, 20], Gen.Double[0, 20], Gen.Double[0, 20]).Sample((edges, whole, first, second) => Assert.Equal(
            edges.ChargeWhileFalling(whole, first + second), edges.ChargeWhileFalling(whole, first) + edges.ChargeWhileFalling(whole - first, second), 1e-9), iter: Iterations.Usually(100));

    /// <summary>
    /// Records made for such a blanker give each figure the charge of its ticks, to half a tick and as much for delays that are no whole
    /// ticks, of dots shorter than the rise and of lines; and the beam is off before it jumps.
    /// </summary>
    [Fact]
    public void Figures_get_their_charge()
    {
        Gen<DeflectionRecord[]> figure = Gen.OneOf(
            Gen.Int[3, 60].Select(ticks => DeflectionRecord.Dot(0, 0, ticks)).Array[1, 6].Select(dots => (DeflectionRecord[])
                [.. dots.SelectMany((dot, i) => new[] { DeflectionRecord.Jump(100 * i, 0, 30), dot with { X = 100 * i, EndX = 100 * i } })]),
            Gen.Select(Gen.Int[2, 40], Gen.Int[2, 30], (points, ticks) => (DeflectionRecord[])
                [DeflectionRecord.Jump(0, 0, 30), DeflectionRecord.Line(0, 0, 5 * (points - 1), 0, points, (long)points * ticks)]));

        // Two of the dots are as short as the line can be on, and let through too much, which the long ones give back.
        DeflectionRecord[] dots = [.. new[] { 3, 60, 24, 6, 3 }.SelectMany((ticks, i) => new[] { DeflectionRecord.Jump(100 * i, 0, 30), DeflectionRecord.Dot(100 * i, 0, ticks) })];
        RequireFigures(new BlankerEdges(0, 14.0 / 13, 0, 6), 0, false, [dots]);
        Gen.Select(Edges, Gen.Double[0, 0.05], Gen.Bool, figure.Array[1, 5]).Sample(RequireFigures, iter: Iterations.Usually(300));

        static void RequireFigures(BlankerEdges edges, double leak, bool leaks, DeflectionRecord[][] figures)
        {
            var blanker = new Blanker(true, true, (edges.OffDead + edges.Fall) / Hertz, (edges.OnDead + edges.Rise) / Hertz, leaks ? leak : 0)
            {
                IsCompensated = true,
                RiseSeconds = edges.Rise * BlankerEdges.TimePerConstant / Hertz,
                FallSeconds = edges.Fall * BlankerEdges.TimePerConstant / Hertz,
            };
            DeflectionRecord[] asked = [.. figures.SelectMany((records, i) => records.Prepend(DeflectionRecord.Marker(i)))];
            var output = new CollectingSink<RecordsHeader, DeflectionRecord>();
            var timing = new BlankerTiming(blanker, output);
            timing.Begin(Header);
            timing.Write(asked);
            timing.End();
            var charge = new FigureCharge(new Beam(1e-10, 20, 30_000), blanker);
            charge.Records.Begin(Header);
            charge.Records.Write([.. output.Items]);
            charge.Records.End();
            double all = figures.Sum(records => records.Where(record => record.Points > 0).Sum(record => record.Ticks));

            // All pulses together, each from the beam off to the beam off, without what leaks.
            double passed = Integrate(edges, Pulses(output.Items), output.Items.Sum(record => record.TimedTicks) + 30 * edges.Fall + edges.OffDead);
            if (!leaks)
            {
                // Each figure, but for what is told, to half a tick; if all its pulses are short ones, to half of what the first tick of the line
                // that has the beam on lets through, 1 - (τ1 - τ2)(1 - exp(-1/τ1)), where that is more. A pulse that counts as whole is off by a thousandth, and so much of the beam is left when the next one begins.
                int pulses = figures.Sum(records => records.Count(record => record.Points > 0));
                Assert.Equal(all + timing.Excess.Ticks, passed, 0.5 * figures.Length * Math.Max(1, edges.PulseCharge(1 + edges.OnDead - edges.OffDead)) + pulses * (OfIntegration + BlankerEdges.OffPart * (1 + edges.Rise + edges.Fall)));
            }

            Assert.All(Rests(output.Items), rest => Assert.True(rest >= edges.OffDead + edges.Fall * Math.Log(1 / BlankerEdges.OffPart) - 1.001e-6)); // a millionth of a tick is rounding
        }
    }

    /// <summary>The simulation's shutter passes what the response does, piece by piece, also of pulses hardly longer than the difference of the dead times.</summary>
    [Fact]
    public void The_shutter_passes_the_charge_of_the_response()
    {
        RequireCharge(new BlankerEdges(2.844, 2, 1.115, 4), 2, 33, 2);
        Gen.Select(Edges, Gen.Int[1, 40], Gen.Int[1, 40], Gen.Int[1, 40]).Sample(RequireCharge, iter: Iterations.Usually(200));

        static void RequireCharge(BlankerEdges edges, int first, int gap, int second)
        {
            // Where a sharp edge and another act at the same instant, the last digit of a time decides whether either happens.
            double later = edges.OnDead - edges.OffDead;
            if ((edges.Rise == 0 && (Math.Abs(first - later) < 1e-6 || Math.Abs(second - later) < 1e-6)) || (edges.Fall == 0 && Math.Abs(gap + later) < 1e-6))
            {
                return;
            }

            var blanker = new Blanker(true, true, (edges.OffDead + edges.Fall) / Hertz, (edges.OnDead + edges.Rise) / Hertz, 0)
            {
                RiseSeconds = edges.Rise * BlankerEdges.TimePerConstant / Hertz,
                FallSeconds = edges.Fall * BlankerEdges.TimePerConstant / Hertz,
            };
            DeflectionRecord[] records = [DeflectionRecord.Jump(0, 0, 5), DeflectionRecord.Dot(0, 0, first), DeflectionRecord.Wait(gap), DeflectionRecord.Dot(0, 0, second)];
            Machine machine = PatternCompiler.Jobs.DefaultFiles.Machine with { Blanker = blanker, Settle = new SettleModel(0, 0, 0), Beam = new Beam(1e-10, 20, 30_000) };
            var map = new ChargeMap(5);
            var replay = new ExposureReplay(machine, map);
            replay.Begin(Header);
            replay.Write(records);
            replay.End();
            double expected = Integrate(edges, Pulses(records), 5 + first + gap + second + 30 * edges.Fall + edges.OffDead);
            Assert.Equal(expected, map.TotalCoulombs / 1e-10 * Hertz, 2 * OfIntegration);
        }
    }

    private static List<(double From, double To)> Pulses(IEnumerable<DeflectionRecord> records)
    {
        var pulses = new List<(double From, double To)>();
        double now = 0;
        foreach (DeflectionRecord record in records)
        {
            if (record.Points > 0 && pulses.Count > 0 && pulses[^1].To == now)
            {
                pulses[^1] = (pulses[^1].From, now + record.TimedTicks);
            }
            else if (record.Points > 0)
            {
                pulses.Add((now, now + record.TimedTicks));
            }

            now += record.TimedTicks;
        }

        return pulses;
    }

    // How long the beam stays at a last point.
    private static IEnumerable<double> Rests(List<DeflectionRecord> records) =>
        Enumerable.Range(1, records.Count - 1)
            .Where(i => records[i].Kind == RecordKind.Jump && records[i - 1].Kind != RecordKind.Jump && records.Take(i).Any(record => record.Points > 0))
            .Select(i => records[i - 1].Kind == RecordKind.Wait ? records[i - 1].Ticks : records[i - 1].Kind == RecordKind.Marker && records[i - 2].Kind == RecordKind.Wait ? records[i - 2].Ticks : 0.0);

    // The line drives the beam through a dead time; edges that act out of order never happen. Between two edges that act, steps of
    // at most a hundredth of a tick: by the trapezoidal rule the error is a twelfth of the step squared times the change of slope.
    private static double Integrate(BlankerEdges edges, List<(double From, double To)> pulses, double until)
    {
        const double Step = 0.01;
        double level = 0, charge = 0, now = 0;
        foreach ((double from, double to) in pulses.Select(pulse => (pulse.From + edges.OnDead, pulse.To + edges.OffDead)).Where(drive => drive.Item2 > drive.Item1))
        {
            // Where the beam goes off later than on again it stays on.
            Follow(from, isOn: false);
            Follow(to, isOn: true);
        }

        Follow(until, isOn: false);
        return charge;

        void Follow(double end, bool isOn)
        {
            int steps = (int)Math.Ceiling((end - now) / Step);
            double constant = isOn ? edges.Rise : edges.Fall;
            if (constant == 0 && end > now)
            {
                level = isOn ? 1 : 0;
            }

            for (int i = 0; i < steps; i++)
            {
                double step = (end - now) / steps, before = level;
                level += ((isOn ? 1 : 0) - level) * (1 - Math.Exp(-step / constant));
                charge += (before + level) / 2 * step;
            }

            now = Math.Max(now, end);
        }
    }
}
