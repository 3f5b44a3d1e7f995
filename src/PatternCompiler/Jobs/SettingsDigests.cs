using System.Globalization;
using System.Text;
using PatternCompiler.Instrument;
using PatternCompiler.Model;

namespace PatternCompiler.Jobs;

/// <summary>
/// Digests of settings, taken over the values that change what is written, as they hold after defaults: a comment, an order of
/// keys or a default written out changes nothing. Names, link, stage, beam energy and the level of the blank line (which headers state) change no record and are left out.
/// </summary>
internal static class SettingsDigests
{
    /// <summary>Digest of the machine: converters, field, calibration, settling, clock, blanker, beam and parking place.</summary>
    public static SettingsDigest Of(Machine machine)
    {
        var text = new StringBuilder("machine 1\n");
        Dac dac = machine.Dac;
        Line(text, "dac", dac.Bits, dac.MinimumVolts, dac.MaximumVolts, (int)dac.Coding, (int)dac.FullScale);
        Deflection deflection = machine.Deflection;
        Line(text, "field", deflection.FieldWidthNanometres, deflection.FieldHeightNanometres, deflection.InvertX ? 1 : 0, deflection.InvertY ? 1 : 0, deflection.SwapAxes ? 1 : 0);
        Line(text, "calibration", [.. deflection.Calibration.Numbers]);
        Line(text, "linearity x", [.. deflection.LinearityX?.Numbers ?? []]);
        Line(text, "linearity y", [.. deflection.LinearityY?.Numbers ?? []]);
        Line(text, "composite", machine.Composite is { } composite ? [composite.FineBits, composite.CoarseSettleSeconds] : []);
        SettleModel settle = machine.Settle;
        Line(text, "settle", settle.FixedSeconds, settle.TimeConstantSeconds, settle.SlewNanometresPerSecond, settle.CancelsLag ? 1 : 0);
        Line(text, "settle table", [.. settle.Table.SelectMany(point => new[] { point.JumpNanometres, point.Seconds })]);
        Line(text, "clock", machine.Clock.Hertz, machine.Clock.MinimumDwellTicks, machine.Clock.MaximumDwellTicks);
        Blanker blanker = machine.Blanker;
        Line(
            text,
            "blanker",
            blanker.IsPresent ? 1 : 0,
            blanker.OffDelaySeconds,
            blanker.OnDelaySeconds,
            blanker.LeakFraction,
            blanker.ShortestPulseSeconds,
            blanker.IsCompensated ? 1 : 0,
            blanker.ScanEnableSeconds,
            blanker.ScanDisableSeconds);
        Line(text, "beam", machine.Beam.CurrentAmperes, machine.Beam.SpotNanometres);
        Line(text, "later current", machine.Beam.Later is { } later ? [later.Seconds, later.Amperes] : []);
        Line(text, "park", machine.ParkNanometres is (double x, double y) ? [x, y] : []);
        return DigestOf(text);
    }

    /// <summary>Digest of process and dose: base doses, tone, response and spread of the resist.</summary>
    public static SettingsDigest Of(Resist process)
    {
        var text = new StringBuilder("process 2\n");
        Line(text, "dose", process.AreaDoseCoulombsPerSquareMetre, process.LineDoseCoulombsPerMetre, process.DotChargeCoulombs);
        Line(text, "resist", (int)process.Response.Tone, process.Response.OnsetCoulombsPerSquareMetre, process.Response.ClearingCoulombsPerSquareMetre);
        Line(text, "spread", [.. process.Spread?.Terms.SelectMany(term => new[] { (int)term.Shape, term.RangeNanometres, term.Ratio }) ?? []]);
        return DigestOf(text);
    }

    /// <summary>Shortest text that gives the same number again, whatever the culture; zeros of either sign are one.</summary>
    private static void Line(StringBuilder text, string name, params ReadOnlySpan<double> numbers)
    {
        text.Append(name);
        foreach (double number in numbers)
        {
            text.Append(' ').Append((number + 0.0).ToString("R", CultureInfo.InvariantCulture));
        }

        text.Append('\n');
    }

    private static SettingsDigest DigestOf(StringBuilder text) => SettingsDigest.Of(Encoding.ASCII.GetBytes(text.ToString()));
}
