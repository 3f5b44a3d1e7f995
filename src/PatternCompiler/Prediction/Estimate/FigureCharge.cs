using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Compares, figure by figure, the charge that strokes ask for with what the records made from them deliver as the blanker
/// plays them: it answers late, and it may leak where the beam settles and where it waits. Both documents are sent in; the
/// records must carry markers. Memory grows with the number of figures only. Without a blanker the charge of dwells alone
/// is compared.
/// </summary>
internal sealed class FigureCharge
{
    private readonly Beam beam;
    private readonly FigureValues asked = new();

    // In ticks of the first current, so that sums of whole ticks are exact.
    private readonly FigureValues delivered = new();
    private double tickCharge;

    /// <summary>Prepares a comparison.</summary>
    /// <param name="beam">The beam, whose current may drift.</param>
    /// <param name="blanker">The blanker that plays the records.</param>
    public FigureCharge(Beam beam, Blanker blanker)
    {
        this.beam = beam;
        Strokes = new StrokesSide(this);
        Records = new RecordsSide(this, blanker);
    }

    /// <summary>Takes the strokes.</summary>
    public IDocumentSink<StrokesHeader, Stroke> Strokes { get; }

    /// <summary>Takes the records.</summary>
    public IDocumentSink<RecordsHeader, DeflectionRecord> Records { get; }

    /// <summary>Charge of a clock tick, in coulombs, at the first current.</summary>
    public double TickCoulombs => tickCharge;

    /// <summary>Figures that ask for charge, in order: what they ask for in coulombs, and the ticks that they get too much.</summary>
    internal IEnumerable<(int Figure, double Asked, double ExcessTicks)> Differences()
    {
        foreach ((int figure, double charge) in asked.InOrder())
        {
            // The division is right to far less than a millionth of a tick.
            yield return (figure, charge, tickCharge > 0 ? Math.Round(delivered[figure] - charge / tickCharge, 6) : 0);
        }
    }

    /// <summary>The comparison of all figures that ask for charge.</summary>
    public FigureChargeEstimate ToEstimate()
    {
        long figures = 0;
        double sum = 0;
        double worst = 0;
        long worstFigure = -1;
        double worstTicks = 0;
        foreach ((int figure, double charge, double excess) in Differences())
        {
            double relative = tickCharge > 0 ? excess * tickCharge / charge : -1;
            figures++;
            sum += Math.Abs(relative);
            worstTicks = Math.Max(worstTicks, Math.Abs(excess));
            if (Math.Abs(relative) > Math.Abs(worst) || worstFigure < 0)
            {
                (worst, worstFigure) = (relative, figure);
            }
        }

        return new FigureChargeEstimate(figures, figures > 0 ? sum / figures : 0, worst, worstFigure, worstTicks);
    }

    private sealed class StrokesSide(FigureCharge owner) : IDocumentSink<StrokesHeader, Stroke>
    {
        public void Begin(StrokesHeader header)
        {
        }

        public void Write(ReadOnlySpan<Stroke> items)
        {
            foreach (ref readonly Stroke stroke in items)
            {
                if (stroke.ChargeZeptocoulombs != 0)
                {
                    owner.asked[stroke.Figure] += stroke.ChargeZeptocoulombs * ExposureArithmetic.CoulombsPerZeptocoulomb;
                }
            }
        }

        public void End()
        {
        }
    }

    // Times are in ticks since the start of writing.
    private sealed class RecordsSide(FigureCharge owner, Blanker blanker) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private double tickSeconds;
        private double onDelay;
        private double offDelay;
        private double leak;
        private BlankerEdges edges;
        private long litSince;
        private long now;
        private int figure = -1;
        private int lastFigure = -1;
        private bool isOn;
        private double litFrom;
        private double litUntil;
        private long restTicks;

        public void Begin(RecordsHeader header)
        {
            tickSeconds = 1 / header.ClockHertz;
            owner.tickCharge = owner.beam.CurrentAmperes * tickSeconds;
            if (blanker.IsPresent)
            {
                onDelay = blanker.OnDelaySeconds * header.ClockHertz;
                offDelay = blanker.OffDelaySeconds * header.ClockHertz;
                leak = blanker.FocusedLeakFraction;
                edges = BlankerEdges.Of(blanker, header.ClockHertz);
            }
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (ref readonly DeflectionRecord record in items)
            {
                if (record.Kind == RecordKind.Marker)
                {
                    figure = (int)record.Ticks;
                    continue;
                }

                long end = now + record.TimedTicks;
                if (record.Points > 0)
                {
                    Expose(end);
                }
                else
                {
                    Rest(record.Kind, end);
                }

                now = end;
            }
        }

        public void End() => TurnOff();

        private void Expose(long end)
        {
            if (!isOn)
            {
                // Where the beam has not been off yet it stays on.
                isOn = true;
                litSince = now;
                litFrom = Math.Max(now + onDelay, litUntil);
                Add(figure, now - restTicks, now, leak);
            }

            double dark = Math.Clamp(litFrom, now, end);
            Add(figure, now, dark, leak);
            Add(figure, dark, end, 1);
            lastFigure = figure;
        }

        private void Rest(RecordKind kind, long end)
        {
            TurnOff();
            (restTicks, lastFigure) = kind == RecordKind.Jump ? (end - now, -1) : (0, lastFigure);

            // The beam stays where it was until it jumps.
            Add(lastFigure, Math.Clamp(litUntil, now, end), end, leak);
        }

        private void TurnOff()
        {
            if (isOn)
            {
                isOn = false;
                litUntil = now + offDelay;
                double dark = Math.Clamp(litFrom, now, litUntil);
                Add(lastFigure, now, dark, leak);
                Add(lastFigure, dark, litUntil, 1);
                if (edges.AreSlow && lastFigure >= 0)
                {
                    owner.delivered[lastFigure] += (1 - leak) * (edges.PulseCharge(now - litSince) - edges.ChargeByDelays(now - litSince));
                }
            }
        }

        private void Add(int to, double from, double until, double part)
        {
            if (to >= 0 && until > from && part > 0)
            {
                owner.delivered[to] += part * (owner.beam.Later is null
                    ? until - from
                    : owner.beam.ChargeCoulombs(from * tickSeconds, until * tickSeconds) / owner.tickCharge);
            }
        }
    }
}
