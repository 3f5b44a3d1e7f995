using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Stray;

/// <summary>Words what a scan for stray lines has found.</summary>
internal static class StrayText
{
    private const int MostListed = 20;

    // Edges move by about as much of the beam's width.
    private const double MuchFog = 0.1;

    /// <summary>The warning if any jump would print, or null.</summary>
    public static Diagnostic? WarningOf(StrayReport report)
    {
        if (report.Printing == 0)
        {
            return null;
        }

        StrayJump first = report.Worst[0];
        return new Diagnostic(
            PredictionCodes.StrayLines,
            Severity.Warning,
            $"{report.Printing} of {CountText.Of(report.Jumps, "jump", "jumps")} would print a line, {Length(report.PrintedLengthNanometres)} in all{Around(report)}{(report.IsAlone ? ", each judged alone" : "")}; the worst is {Length(first.PrintedLengthNanometres)} long and {Length(first.PrintedWidthNanometres)} wide with {Dose(first.PeakDoseCoulombsPerSquareMetre)}, {Because(first.Cause)}",
            PlaceOf(first),
            Fix: "let 'order.travel' be hidden, jump faster, use less beam current, or fix the blanker");
    }

    /// <summary>The warning that what leaks out of focus is much, or prints by itself; null where it is little.</summary>
    public static Diagnostic? FogOf(StrayReport report) => report.FogPartOfOnset < MuchFog
        ? null
        : new Diagnostic(
            report.FogPartOfOnset < 1 ? PredictionCodes.LeakFog : PredictionCodes.LeakFogPrints,
            Severity.Warning,
            $"what the blanker leaks out of focus leaves up to {FogShare(report)}{(report.FogPartOfOnset < 1 ? ", on all that lies around" : ": it prints by itself")}",
            Fix: "stop the leak, wait less with the beam off, or let the beam rest elsewhere ('park')");

    /// <summary>How much leaks out of focus, in words.</summary>
    public static string FogShare(StrayReport report) =>
        $"{QuantityText.Format(100 * report.FogPartOfOnset, Dimension.Fraction, 3)}% of the dose at which the resist starts to react";

    /// <summary>The warning that tracks cannot be foreseen because nothing tells how fast the deflection moves, or null.</summary>
    public static Diagnostic? UnknownOf(Machine machine) =>
        (!machine.Blanker.IsPresent || machine.Blanker.LeakFraction > 0) && !StrayScan.AlwaysExposes(machine)
            ? new Diagnostic(
                PredictionCodes.StrayUnknown,
                Severity.Warning,
                machine.Blanker.IsPresent
                    ? "the blanker leaks, but the machine file does not say how fast the deflection moves: stray lines cannot be predicted"
                    : "there is no blanker, and the machine file does not say how fast the deflection moves: stray lines cannot be predicted",
                Fix: "give 'settle.time_constant' or 'settle.slew'")
            : null;

    /// <summary>The worst stray lines, one in a line, and how many are not listed.</summary>
    public static IEnumerable<string> ListOf(StrayReport report)
    {
        foreach (StrayJump jump in report.Worst.Take(MostListed))
        {
            yield return LineOf(jump);
        }

        if (report.Printing > MostListed)
        {
            yield return $"and {report.Printing - MostListed} more";
        }
    }

    /// <summary>Where a jump lies: at the figure that it leads to, or else at the one that it leaves.</summary>
    public static SourcePlace PlaceOf(StrayJump jump)
    {
        ItemPlace item = jump.ToFigure >= 0 ? new(ItemKind.Figure, jump.ToFigure) : jump.FromFigure >= 0 ? new(ItemKind.Figure, jump.FromFigure) : new(ItemKind.Record, jump.Record);
        bool isFrom = jump is { ToFigure: < 0, FromFigure: >= 0 };
        return new()
        {
            Item = item with
            {
                Field = jump.Field,
                XNanometres = isFrom ? jump.FromXNanometres : jump.ToXNanometres,
                YNanometres = isFrom ? jump.FromYNanometres : jump.ToYNanometres,
            },
        };
    }

    /// <summary>How many jumps print how much, in words.</summary>
    public static string CountOf(StrayReport report) => report.Printing == 0
        ? $"none of {report.Jumps} would print"
        : $"{report.Printing} of {report.Jumps} would print {Length(report.PrintedLengthNanometres)}{Around(report)}, with up to {Dose(report.LargestDoseCoulombsPerSquareMetre)}";

    /// <summary>How much of the printed length does little harm, or nothing.</summary>
    public static string Around(StrayReport report) =>
        report.OutsideLengthNanometres > 0 ? $", {Length(report.OutsideLengthNanometres)} of it around the pattern" : "";

    private static string LineOf(StrayJump jump) =>
        $"{Figures(jump)}{(jump.Field is { } field ? $" in field {field}" : "")} from ({Micrometres(jump.FromXNanometres)}, {Micrometres(jump.FromYNanometres)}) um to ({Micrometres(jump.ToXNanometres)}, {Micrometres(jump.ToYNanometres)}) um: "
        + $"{Length(jump.PrintedLengthNanometres)} long, {Length(jump.PrintedWidthNanometres)} wide, {Dose(jump.PeakDoseCoulombsPerSquareMetre)}"
        + (jump.OwnDoseCoulombsPerSquareMetre < 0.9 * jump.PeakDoseCoulombsPerSquareMetre ? $" ({Dose(jump.OwnDoseCoulombsPerSquareMetre)} of its own)" : "");

    private static string Figures(StrayJump jump) => (jump.FromFigure, jump.ToFigure) switch
    {
        ( < 0, < 0) => $"record {jump.Record}",
        ( < 0, _) => $"before figure {jump.ToFigure}",
        ( >= 0, < 0) => $"after figure {jump.FromFigure}",
        _ when jump.FromFigure == jump.ToFigure => $"inside figure {jump.ToFigure}",
        _ => $"figure {jump.FromFigure} to figure {jump.ToFigure}",
    };

    private static string Length(double nanometres) => QuantityText.Format(nanometres * 1e-9, Dimension.Length, 3);

    private static string Dose(double coulombsPerSquareMetre) => QuantityText.Format(coulombsPerSquareMetre, Dimension.AreaDose, 3);

    private static string Micrometres(double nanometres) => QuantityText.Format(nanometres * 1e-3, Dimension.Fraction, 5);

    private static string Because(StrayCause cause) => cause switch
    {
        StrayCause.Leak => "because the blanker leaks",
        StrayCause.LateBlanking => "because the blanker is late",
        _ => "because there is no blanker",
    };
}
