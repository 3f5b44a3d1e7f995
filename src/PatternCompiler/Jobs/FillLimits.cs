using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Jobs;

/// <summary>From machine and process to what bounds the choice of line pitch and point step.</summary>
internal static class FillLimits
{
    /// <summary>A line on the link may come with two single points at either end, where its edges are weighted.</summary>
    private const int PointsBesideLine = 4;

    /// <summary>The limits of a machine and a resist.</summary>
    public static SpacingLimits Of(Machine machine, Resist process)
    {
        double now = machine.Beam.CurrentAmperes;
        double later = machine.Beam.Later?.Amperes ?? now;
        double point = BytesOf(StreamFormat.PointWords, machine.Dac);
        return new SpacingLimits(
            Math.Max(now, later),
            Math.Min(now, later),
            machine.Clock.Hertz,
            machine.Clock.MinimumDwellTicks,
            machine.Clock.MaximumDwellTicks,
            machine.Beam.SpotNanometres,
            process.BlurNanometres(machine.Beam.SpotNanometres) / SpreadFunction.HalfMaximumWidthPerDeviation)
        {
            FastestNanometresPerSecond = machine.Settle.SlewNanometresPerSecond > 0 ? machine.Settle.SlewNanometresPerSecond : double.PositiveInfinity,
            LagSeconds = machine.Settle.CancelsLag ? 0 : machine.Settle.LagSeconds,
            LinkBytesPerSecond = machine.Link.BytesPerSecond,
            BytesPerPoint = point,
            BytesPerLine = machine.Link.InterpolatesLines ? BytesOf(StreamFormat.LineWords, machine.Dac) + PointsBesideLine * point : 0,
        };
    }

    /// <summary>Bytes of a record in the exposure stream, with its share of a full block's frame.</summary>
    private static double BytesOf(int words, Dac dac)
    {
        const double FramedPerPayload = (double)(StreamFormat.LargestPayload + StreamFormat.BlockHeader + StreamFormat.CrcBytes) / StreamFormat.LargestPayload;
        return words * ExposureStreamOptions.For(dac, StreamProfile.Points).WordBytes * FramedPerPayload;
    }
}
