using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>Turns asked charges into whole zeptocoulombs and keeps count of the figures that do not get what they ask for.</summary>
internal sealed class FillTally
{
    private int withoutDose;
    private int firstWithoutDose;
    private int leftOut;
    private int firstLeftOut;
    private int raised;
    private int firstRaised;
    private int widened;
    private int firstWidened;
    private int mostSteps;
    private int uneven;
    private int firstUneven;
    private double mostDeviation;
    private double sizeAtMost;
    private int missed;
    private int firstMissed;
    private int lacking;
    private int mostLacking;
    private double mostLacked;
    private int centred;
    private int mostCentred;
    private double mostDifference;
    private double centredAsked;
    private double centredGiven;

    /// <summary>Off while figures are only measured.</summary>
    public bool IsCounting { get; init; } = true;

    /// <summary>Whole charge of a figure in one pass; false if the figure is not written.</summary>
    public bool TryCharge(double asked, int figure, LayerPlan plan, int pass, out long charge)
    {
        // The total is rounded and then divided, so that the passes together are exact.
        Int128 total = (Int128)Math.Floor(asked + 0.5);
        charge = (long)(total * (pass + 1) / plan.Passes - total * pass / plan.Passes);
        if (charge <= 0)
        {
            if (pass == 0)
            {
                CountWithoutDose(figure);
            }

            return false;
        }

        if (charge >= plan.Charges.SmallestPoint)
        {
            return true;
        }

        bool isRaised = 2 * charge >= plan.Charges.SmallestPoint;
        if (pass == 0 && IsCounting)
        {
            if (isRaised)
            {
                Count(ref raised, ref firstRaised, figure);
            }
            else
            {
                Count(ref leftOut, ref firstLeftOut, figure);
            }
        }

        charge = plan.Charges.SmallestPoint;
        return isRaised;
    }

    /// <summary>Counts a figure whose dose is zero.</summary>
    public void CountWithoutDose(int figure) => Count(ref withoutDose, ref firstWithoutDose, figure);

    /// <summary>Counts an area between whose lines or points no code lies.</summary>
    public void CountMissed(int figure) => Count(ref missed, ref firstMissed, figure);

    /// <summary>Counts a figure whose points are further apart than the point step.</summary>
    public void CountWidened(int figure, int steps)
    {
        Count(ref widened, ref firstWidened, figure);
        mostSteps = Math.Max(mostSteps, steps);
    }

    /// <summary>Counts an area across which codes move against the upright lattice that its edges are weighted for.</summary>
    public void CountUneven(int figure, double deviationCodes, double sizeFemtometres)
    {
        Count(ref uneven, ref firstUneven, figure);
        if (deviationCodes > mostDeviation)
        {
            (mostDeviation, sizeAtMost) = (deviationCodes, sizeFemtometres);
        }
    }

    /// <summary>Counts an area of which a part is too small for a pixel of its own and far from any other.</summary>
    /// <param name="figure">Its number.</param>
    /// <param name="lacked">Charge that it lacks in all passes together, in zeptocoulombs.</param>
    /// <param name="given">Charge that it gets in all of them.</param>
    public void CountLacking(int figure, double lacked, double given)
    {
        if (given <= 0)
        {
            Count(ref leftOut, ref firstLeftOut, figure);
        }
        else if (lacking++ == 0 || lacked > mostLacked)
        {
            (mostLacking, mostLacked) = (figure, lacked);
        }
    }

    /// <summary>Counts what an area gets whose lines or points are tested by their centres.</summary>
    /// <param name="figure">Its number.</param>
    /// <param name="asked">Charge that it asks for, in zeptocoulombs.</param>
    /// <param name="given">Charge that it gets.</param>
    /// <param name="plan">How its layer is written.</param>
    public void CountCentred(int figure, double asked, double given, LayerPlan plan)
    {
        if (given <= 0)
        {
            CountMissed(figure);
            return;
        }

        if (!IsCounting)
        {
            return;
        }

        centredAsked += asked;
        centredGiven += given;
        if (Math.Abs(given - asked) <= plan.Charges.HalfTick)
        {
            return;
        }

        double difference = given / asked - 1;
        if (centred++ == 0 || Math.Abs(difference) > Math.Abs(mostDifference))
        {
            (mostCentred, mostDifference) = (figure, difference);
        }
    }

    /// <summary>Reports what was counted.</summary>
    public void Report(DiagnosticSink sink)
    {
        if (withoutDose > 0)
        {
            sink.Note(FillCodes.NoDose, $"{CountText.Of(withoutDose, "figure", "figures")} without dose not written, first figure {firstWithoutDose}", SourcePlace.OfFigure(firstWithoutDose));
        }

        if (raised > 0)
        {
            sink.Warn(
                FillCodes.TinyFigures,
                $"{CountText.Of(raised, "figure needs less than the shortest dwell and is", "figures need less than the shortest dwell and are")} written with it, first figure {firstRaised}",
                SourcePlace.OfFigure(firstRaised),
                fix: "lower the beam current");
        }

        if (leftOut > 0)
        {
            sink.Warn(
                FillCodes.LeftOutFigures,
                $"{CountText.Of(leftOut, "figure needs less than half of the shortest dwell and is", "figures need less than half of the shortest dwell and are")} not written, first figure {firstLeftOut}",
                SourcePlace.OfFigure(firstLeftOut),
                fix: "lower the beam current");
        }

        if (widened > 0)
        {
            sink.Warn(
                FillCodes.WidenedFigures,
                $"{CountText.Of(widened, "figure of low dose has", "figures of low dose have")} points up to {CountText.Of(mostSteps, "step", "steps")} apart, or their dwell would be below the shortest, first figure {firstWidened}",
                SourcePlace.OfFigure(firstWidened),
                fix: "lower the beam current, raise the point step, or let the spacing be automatic");
        }

        if (uneven > 0)
        {
            double size = sizeAtMost * FigureStrokes.LargestDeviationCodes / mostDeviation * 1e-15;
            sink.Warn(
                FillCodes.UnevenField,
                $"the tilt or distortion of the field moves codes by up to {QuantityText.Format(mostDeviation, Dimension.Codes, 2)} across {CountText.Of(uneven, "figure", "figures")}, so that weights place their edges only to half a code, first figure {firstUneven}",
                SourcePlace.OfFigure(firstUneven),
                fix: $"divide figures with 'fracture: {{largest_figure: {QuantityText.Format(size, Dimension.Length, 1)}}}', or turn the drawing or the scan so that both are parallel");
        }

        if (lacking > 0)
        {
            sink.Warn(
                FillCodes.LackingFigures,
                $"{CountText.Of(lacking, "figure lacks", "figures lack")} charge of parts too small for a pixel, figure {mostLacking} most: {QuantityText.Format(mostLacked * 1e-21, Dimension.Charge, 3)}",
                SourcePlace.OfFigure(mostLacking),
                fix: "write areas by lines in place of a raster");
        }

        if (centred > 0)
        {
            double all = centredGiven / centredAsked - 1;
            sink.Note(
                FillCodes.CentredFigures,
                $"points whose centre lies inside give {CountText.Of(centred, "figure", "figures")} another charge than asked, {Percent(all)} in all; figure {mostCentred} is off most: it gets {Percent(mostDifference)}",
                SourcePlace.OfFigure(mostCentred),
                fix: "choose the weighted placement, which keeps the charge of each figure");
        }

        if (missed > 0)
        {
            sink.Warn(
                FillCodes.MissedFigures,
                $"{CountText.Of(missed, "figure lies between codes and is", "figures lie between codes and are")} not written, first figure {firstMissed}",
                SourcePlace.OfFigure(firstMissed),
                fix: "weight edges instead of testing centres, or use a finer converter");
        }
    }

    private void Count(ref int count, ref int first, int figure)
    {
        if (IsCounting && count++ == 0)
        {
            first = figure;
        }
    }

    /// <summary>A part of the whole, e.g. "2.31% more".</summary>
    private static string Percent(double part) => $"{QuantityText.Format(Math.Abs(part) * 100, Dimension.Fraction, 3)}% {(part < 0 ? "less" : "more")}";
}
