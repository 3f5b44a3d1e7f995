using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Compares, figure by figure, the charge of strokes with that of the records made from them. Both documents are sent in;
/// the records must carry markers. Memory grows with the number of figures only.
/// </summary>
public sealed class FigureCharge
{
    private readonly Beam beam;
    private readonly List<double> asked = [];
    private readonly List<double> delivered = [];
    private double tickCharge;

    /// <summary>Prepares a comparison.</summary>
    /// <param name="beam">The beam, whose current may drift.</param>
    public FigureCharge(Beam beam)
    {
        this.beam = beam;
        Strokes = new StrokesSide(this);
        Records = new RecordsSide(this);
    }

    /// <summary>Takes the strokes.</summary>
    public IDocumentSink<StrokesHeader, Stroke> Strokes { get; }

    /// <summary>Takes the records.</summary>
    public IDocumentSink<RecordsHeader, DeflectionRecord> Records { get; }

    /// <summary>The comparison of all figures that ask for charge.</summary>
    public FigureChargeEstimate ToEstimate()
    {
        long figures = 0;
        double sum = 0;
        double worst = 0;
        long worstFigure = -1;
        double worstCharge = 0;
        for (int i = 0; i < asked.Count; i++)
        {
            if (asked[i] <= 0)
            {
                continue;
            }

            double difference = (i < delivered.Count ? delivered[i] : 0) - asked[i];
            double relative = difference / asked[i];
            figures++;
            sum += Math.Abs(relative);
            worstCharge = Math.Max(worstCharge, Math.Abs(difference));
            if (Math.Abs(relative) > Math.Abs(worst) || worstFigure < 0)
            {
                (worst, worstFigure) = (relative, i);
            }
        }

        return new FigureChargeEstimate(
            figures, figures > 0 ? sum / figures : 0, worst, worstFigure, tickCharge > 0 ? worstCharge / tickCharge : 0);
    }

    private static void Add(List<double> charges, long figure, double charge)
    {
        while (charges.Count <= figure)
        {
            charges.Add(0);
        }

        charges[(int)figure] += charge;
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
                    Add(owner.asked, stroke.Figure, stroke.ChargeZeptocoulombs * ExposureArithmetic.CoulombsPerZeptocoulomb);
                }
            }
        }

        public void End()
        {
        }
    }

    private sealed class RecordsSide(FigureCharge owner) : IDocumentSink<RecordsHeader, DeflectionRecord>
    {
        private long figure = -1;
        private long elapsedTicks;
        private double tickSeconds;

        public void Begin(RecordsHeader header)
        {
            tickSeconds = 1 / header.ClockHertz;
            owner.tickCharge = owner.beam.CurrentAmperes * tickSeconds;
        }

        public void Write(ReadOnlySpan<DeflectionRecord> items)
        {
            foreach (ref readonly DeflectionRecord record in items)
            {
                if (record.Kind == RecordKind.Marker)
                {
                    figure = record.Ticks;
                    continue;
                }

                if (record.Points > 0 && figure >= 0)
                {
                    Add(owner.delivered, figure, record.Ticks * tickSeconds * owner.beam.CurrentAt(elapsedTicks * tickSeconds));
                }

                elapsedTicks += record.Ticks;
            }
        }

        public void End()
        {
        }
    }
}
