using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Prediction.Stray;

namespace PatternCompiler.Prediction.Estimate;

/// <summary>
/// Writes an estimate as JSON for scripts. Names end in their unit; none is ever renamed or given another meaning.
/// </summary>
public static class EstimateJson
{
    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(ExposureEstimate e, Stream output)
    {
        using (var json = new Utf8JsonWriter(output, new JsonWriterOptions { Indented = true, NewLine = "\n" }))
        {
            Write(e, json);
        }

        output.WriteByte((byte)'\n');
    }

    /// <summary>Writes it as the next value.</summary>
    public static void Write(ExposureEstimate e, Utf8JsonWriter json)
    {
        json.WriteStartObject();
        json.WriteString("machine", e.MachineName);
        WriteTimes(json, e);
        WriteCounts(json, e);
        WriteLink(json, e.Link);
        WriteAccuracy(json, e);
        WriteField(json, e.Field);
        WriteStrays(json, e);
        WriteFigureCharge(json, e);
        FillJson.Write(json, e.Fill);
        WriteWarnings(json, e);
        json.WriteEndObject();
    }

    private static void WriteTimes(Utf8JsonWriter json, ExposureEstimate e)
    {
        json.WriteStartObject("time");
        json.WriteNumber("totalSeconds", e.TotalSeconds);
        json.WriteNumber("exposingSeconds", e.ExposingSeconds);
        json.WriteNumber("settlingSeconds", e.SettlingSeconds);
        json.WriteNumber("waitingSeconds", e.WaitingSeconds);
        json.WriteNumber("stallSeconds", e.Link.StallSeconds);
        if (e.Stage is { } stage)
        {
            json.WriteNumber("stageSeconds", stage.MoveSeconds);
            json.WriteNumber("writeFields", stage.Fields);
        }

        json.WriteEndObject();
    }

    private static void WriteCounts(Utf8JsonWriter json, ExposureEstimate e)
    {
        json.WriteNumber("records", e.Records);
        json.WriteNumber("lines", e.Lines);
        json.WriteNumber("points", e.Points);
        json.WriteNumber("jumps", e.Jumps);
        json.WriteNumber("streamBytes", e.StreamBytes);
        json.WriteNumber("streamBytesAsLines", e.LineStreamBytes);
        json.WriteNumber("streamBytesAsPoints", e.PointStreamBytes);
        json.WriteNumber("chargeCoulombs", e.ChargeCoulombs);
        json.WriteNumber("electrons", e.Electrons);
        json.WriteNumber("fewestElectrons", e.FewestElectrons);
        json.WriteNumber("fewestElectronsFigure", e.FewestElectronsFigure);
        json.WriteNumber("shotNoise", e.ShotNoise);
    }

    private static void WriteLink(Utf8JsonWriter json, LinkEstimate link)
    {
        json.WriteStartObject("link");
        json.WriteNumber("givenBytesPerSecond", link.GivenBytesPerSecond);
        json.WriteNumber("meanBytesPerSecond", link.MeanBytesPerSecond);
        json.WriteNumber("busiestBytesPerSecond", link.BusiestBytesPerSecond);
        json.WriteNumber("bufferBytes", link.BufferBytes);
        json.WriteNumber("stalls", link.Stalls);
        json.WriteNumber("longestStallSeconds", link.LongestStallSeconds);
        WriteStall(json, "firstStall", link.FirstStall);
        WriteStall(json, "worstStall", link.WorstStall);
        json.WriteEndObject();
    }

    private static void WriteStall(Utf8JsonWriter json, string name, StallPlace? stall)
    {
        if (stall is null)
        {
            json.WriteNull(name);
            return;
        }

        json.WriteStartObject(name);
        json.WriteNumber("seconds", stall.Seconds);
        json.WriteNumber("record", stall.Record);
        json.WriteNumber("figure", stall.Figure);
        json.WriteNumber("xNanometres", stall.XNanometres);
        json.WriteNumber("yNanometres", stall.YNanometres);
        json.WriteEndObject();
    }

    private static void WriteAccuracy(Utf8JsonWriter json, ExposureEstimate e)
    {
        json.WriteNumber("stepXNanometres", e.StepXNanometres);
        json.WriteNumber("stepYNanometres", e.StepYNanometres);
        json.WriteNumber("spotNanometres", e.SpotNanometres);
        json.WriteNumber("blurNanometres", e.BlurNanometres);
        WriteSpacing(json, "spacingX", e.SpacingX);
        WriteSpacing(json, "spacingY", e.SpacingY);
        json.WriteNumber("positionDeviationNanometres", e.PositionDeviationNanometres);
        json.WriteNumber("clockHertz", e.ClockHertz);
        json.WriteNumber("shortestDwellTicks", e.ShortestDwellTicks);
        json.WriteNumber("longestDwellTicks", e.LongestDwellTicks);
        json.WriteNumber("minimumDwellTicks", e.MinimumDwellTicks);
        json.WriteNumber("maximumDwellTicks", e.MaximumDwellTicks);
        json.WriteNumber("dwellRounding", e.DwellRounding);
    }

    private static void WriteSpacing(Utf8JsonWriter json, string name, SpacingEstimate spacing)
    {
        json.WriteStartObject(name);
        json.WriteNumber("smallestNanometres", spacing.SmallestNanometres);
        json.WriteNumber("largestNanometres", spacing.LargestNanometres);
        json.WriteNumber("ripple", spacing.Ripple);
        json.WriteNumber("ripplePitchNanometres", spacing.RipplePitchNanometres);
        json.WriteEndObject();
    }

    private static void WriteField(Utf8JsonWriter json, FieldEstimate field)
    {
        json.WriteStartObject("field");
        json.WriteNumber("usedX", field.UsedX);
        json.WriteNumber("usedY", field.UsedY);
        json.WriteNumber("marginCodes", field.MarginCodes);
        json.WriteNumber("leftNanometres", field.LeftNanometres);
        json.WriteNumber("bottomNanometres", field.BottomNanometres);
        json.WriteNumber("rightNanometres", field.RightNanometres);
        json.WriteNumber("topNanometres", field.TopNanometres);
        json.WriteEndObject();
    }

    private static void WriteStrays(Utf8JsonWriter json, ExposureEstimate e)
    {
        if (e.Strays is { } strays)
        {
            json.WriteStartObject("strays");
            WriteStrayTotals(json, strays);
            json.WriteBoolean("judgedAlone", strays.IsAlone);
            if (e.StraysIfStraight is { } straight)
            {
                json.WriteStartObject("ifStraight");
                WriteStrayTotals(json, straight);
                json.WriteEndObject();
            }

            json.WriteStartArray("worst");
            foreach (StrayJump jump in strays.Worst)
            {
                WriteStray(json, jump);
            }

            json.WriteEndArray();
            json.WriteEndObject();
        }
    }

    private static void WriteStrayTotals(Utf8JsonWriter json, StrayReport strays)
    {
        json.WriteNumber("printingJumps", strays.Printing);
        json.WriteNumber("printedNanometres", strays.PrintedLengthNanometres);
        json.WriteNumber("printedAroundPatternNanometres", strays.OutsideLengthNanometres);
        json.WriteNumber("largestDoseCoulombsPerSquareMetre", strays.LargestDoseCoulombsPerSquareMetre);
    }

    private static void WriteFigureCharge(Utf8JsonWriter json, ExposureEstimate e)
    {
        if (e.FigureCharge is { } charge)
        {
            json.WriteStartObject("figureCharge");
            json.WriteNumber("figures", charge.Figures);
            json.WriteNumber("meanRelative", charge.MeanRelative);
            json.WriteNumber("worstRelative", charge.WorstRelative);
            json.WriteNumber("worstFigure", charge.WorstFigure);
            json.WriteNumber("worstTicks", charge.WorstTicks);
            json.WriteEndObject();
        }
    }

    private static void WriteStray(Utf8JsonWriter json, StrayJump jump)
    {
        json.WriteStartObject();
        json.WriteNumber("record", jump.Record);
        if (jump.Field is { } field)
        {
            json.WriteString("field", field);
        }

        json.WriteNumber("fromFigure", jump.FromFigure);
        json.WriteNumber("toFigure", jump.ToFigure);
        json.WriteNumber("fromXNanometres", jump.FromXNanometres);
        json.WriteNumber("fromYNanometres", jump.FromYNanometres);
        json.WriteNumber("toXNanometres", jump.ToXNanometres);
        json.WriteNumber("toYNanometres", jump.ToYNanometres);
        json.WriteNumber("printedNanometres", jump.PrintedLengthNanometres);
        json.WriteNumber("widthNanometres", jump.PrintedWidthNanometres);
        json.WriteNumber("doseCoulombsPerSquareMetre", jump.PeakDoseCoulombsPerSquareMetre);
        json.WriteNumber("ownDoseCoulombsPerSquareMetre", jump.OwnDoseCoulombsPerSquareMetre);
        json.WriteString("cause", jump.Cause switch { StrayCause.Leak => "leak", StrayCause.LateBlanking => "late blanking", _ => "no blanker" });
        json.WriteEndObject();
    }

    private static void WriteWarnings(Utf8JsonWriter json, ExposureEstimate e)
    {
        json.WriteStartArray("warnings");
        foreach (Diagnostic warning in e.Warnings)
        {
            json.WriteStartObject();
            json.WriteString("code", warning.Code.Id);
            json.WriteString("message", warning.Message);
            json.WriteString("fix", warning.Fix);
            json.WriteEndObject();
        }

        json.WriteEndArray();
    }
}
