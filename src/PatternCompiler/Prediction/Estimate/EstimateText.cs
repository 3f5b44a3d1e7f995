using System.Text;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Stray;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>Prints an estimate as a plain, aligned table.</summary>
internal static class EstimateText
{
    private const int NameWidth = 22;

    /// <summary>The table, each line ended by a line feed; warnings are not part of it.</summary>
    public static string Format(ExposureEstimate e)
    {
        var text = new StringBuilder();
        Row("write time", $"{Time(e.TotalSeconds)}  (exposing {Time(e.ExposingSeconds)}, jumps and settling {Time(e.SettlingSeconds)}, waiting {Time(e.WaitingSeconds)}, link stalls {Time(e.Link.StallSeconds)})");
        if (e.Stage is { } stage)
        {
            Row("stage", $"{Time(stage.MoveSeconds)} of the write time for {CountText.Of(stage.Fields, "write field", "write fields")}");
            if (stage.Readings is { } readings)
            {
                Row("stage readings", $"x {Um(readings.LowestX)} to {Um(readings.HighestX)} um, y {Um(readings.LowestY)} to {Um(readings.HighestY)} um");
            }
        }

        if (e.Triggers is { } triggers)
        {
            Row("trigger", $"{CountText.Of(triggers.Waits, "wait", "waits")}, {Time(triggers.ExpectedSeconds)} of the write time, 0 s to {Time(triggers.MostSeconds)} in all");
            Row("after an edge", $"{Time(triggers.LongestUnitSeconds)} of exposure at most, {Time(triggers.MeanUnitSeconds)} on average{Swing(triggers)}");
        }

        Row("records", $"{e.Records}  ({CountText.Of(e.Lines, "line", "lines")}, {CountText.Of(e.Points, "point", "points")}, {CountText.Of(e.Jumps, "jump", "jumps")})");
        Row("stream", $"{Bytes(e.StreamBytes)}, lines sent {(e.InterpolatesLines ? "as lines" : "point by point")}  ({(e.InterpolatesLines ? $"{Bytes(e.PointStreamBytes)} point by point" : $"{Bytes(e.LineStreamBytes)} as lines")})");
        Row("link", Link(e.Link));
        Row("link buffer", Buffer(e.Link));
        Row("step per code", $"{Nanometres(e.StepXNanometres)} x {Nanometres(e.StepYNanometres)}, spot {Nanometres(e.SpotNanometres)}");
        Row("spacing along x", Spacing(e.SpacingX));
        Row("spacing along y", Spacing(e.SpacingY));
        Row("rounding to codes", $"{Nanometres(e.PositionDeviationNanometres)} rms, {Nanometres(Math.Max(e.StepXNanometres, e.StepYNanometres) / 2)} at most");
        Row("dwell", $"{Time(e.ShortestDwellTicks / e.ClockHertz)} to {Time(e.LongestDwellTicks / e.ClockHertz)}  ({e.ShortestDwellTicks} to {CountText.Of(e.LongestDwellTicks, "tick", "ticks")} of {Time(1 / e.ClockHertz)}; the controller makes {e.MinimumDwellTicks} to {e.MaximumDwellTicks})");
        Row("rounding of dwell", $"{Percent(e.DwellRounding)} of a point's dose at most, carried on within a figure");
        Row("charge", $"{QuantityText.Format(e.ChargeCoulombs, Dimension.Charge)}  ({Number(e.Electrons)} electrons)");
        Row("shot noise", $"{Percent(e.ShotNoise)} of the least exposed figure's dose  ({Number(e.FewestElectrons)} electrons)");
        Row("field used", $"{Percent(e.Field.UsedX)} x {Percent(e.Field.UsedY)}, {CountText.Of(e.Field.MarginCodes, "code", "codes")} to the nearest end");
        if (e.Strays is { } strays)
        {
            string alone = strays.IsAlone ? ", each judged alone" : "";
            Row("stray lines", strays.Printing == 0
                ? $"none of {CountText.Of(strays.Jumps, "jump", "jumps")} prints{alone}; at most {QuantityText.Format(strays.LargestDoseCoulombsPerSquareMetre, Dimension.AreaDose, 3)} along them"
                : $"{strays.Printing} of {CountText.Of(strays.Jumps, "jump", "jumps")} {CountText.Word(strays.Printing, "prints", "print")}, {QuantityText.Format(strays.PrintedLengthNanometres * 1e-9, Dimension.Length, 3)} in all{StrayText.Around(strays)}{alone}");
            if (e.StraysIfStraight is { } straight)
            {
                Row("", $"jumps are led around; led straight, {StrayText.CountOf(straight)}");
            }

            foreach (string line in StrayText.ListOf(strays))
            {
                Row("", line);
            }

            if (strays.FogPartOfOnset > 0)
            {
                Row("fog of the leak", $"up to {StrayText.FogShare(strays)}");
            }
        }

        if (!e.Fill.Travels.IsEmpty)
        {
            Row("blanked travel", $"{Travel(e, t => t.OrderedNanometres)} between figures, {Travel(e, t => t.GivenNanometres)} in the given order, no order needs less than {Travel(e, t => t.LeastNanometres)}");
        }

        if (e.FigureCharge is { } charge)
        {
            Row("charge per figure", $"within {Percent(Math.Abs(charge.WorstRelative))} of what is asked, {Percent(charge.MeanRelative)} on average  ({QuantityText.Format(charge.WorstTicks, Dimension.Ticks)} at most)");
        }

        return text.ToString();

        static string Um(double nanometres) => NumberText.Format(Math.Round(nanometres / 1000, 4, MidpointRounding.AwayFromZero) + 0.0);

        void Row(string name, string value) => text.Append(name.PadRight(NameWidth)).Append(value).Append('\n');
    }

    private static string Swing(TriggerEstimate triggers) => triggers.Hum is not { } hum ? ""
        : $"; the hum swings by {Nanometres(hum.XNanometres)} x {Nanometres(hum.YNanometres)} in the longest";

    private static string Travel(ExposureEstimate e, Func<LayerTravel, double> nanometres) =>
        QuantityText.Format(e.Fill.Travels.Sum(nanometres) * 1e-9, Dimension.Length);

    private static string Link(LinkEstimate link)
    {
        string need = link.BusiestBytesPerSecond > 0 ? $", {Rate(link.BusiestBytesPerSecond)} in the busiest part" : "";
        string stalls = link.Stalls == 0 ? "never runs dry" : $"runs dry {CountText.Times(link.Stalls)} for {Time(link.StallSeconds)}";
        return $"{Rate(link.MeanBytesPerSecond)} needed on average{need}; {Rate(link.GivenBytesPerSecond)} given, buffer {Bytes(link.BufferBytes)}: {stalls}";
    }

    private static string Buffer(LinkEstimate link)
    {
        string roundTrip = link.RoundTripSeconds > 0 ? $", round trip {Time(link.RoundTripSeconds)}" : "";
        string stalls = link.Stalls == 0 ? ""
            : link.StallsAmidExposure == 0 ? "; never dry with the beam on"
            : $"; dry with the beam on {CountText.Times(link.StallsAmidExposure)} for {Time(link.StallSecondsAmidExposure)}";
        string need = link.NeededBlocks is long blocks
            ? $"{CountText.Of(blocks, "block", "blocks")} ({Bytes(link.NeededBufferBytes ?? 0)}) needed to keep the beam on"
            : "none is large enough to keep the beam on at this rate";
        return $"{CountText.Of(link.Blocks, "block", "blocks")}{roundTrip}: {need}{stalls}";
    }

    private static string Spacing(SpacingEstimate spacing) => spacing.LargestNanometres == 0
        ? "none"
        : $"{Nanometres(spacing.SmallestNanometres)} to {Nanometres(spacing.LargestNanometres)}, dose ripple ±{Percent(spacing.Ripple)}";

    private static string Time(double seconds) => QuantityText.Format(seconds, Dimension.Time);

    private static string Bytes(long bytes) => QuantityText.Format(bytes, Dimension.DataSize, 3);

    private static string Rate(double bytesPerSecond) => QuantityText.Format(bytesPerSecond, Dimension.DataRate, 3);

    private static string Nanometres(double value) => QuantityText.Format(value * 1e-9, Dimension.Length);

    private static string Number(double value) => QuantityText.Format(value, Dimension.Fraction, 4);

    private static string Percent(double part) => part is > 0 and < 1e-6 ? "0%" : $"{QuantityText.Format(part * 100, Dimension.Fraction, 2)}%";
}
