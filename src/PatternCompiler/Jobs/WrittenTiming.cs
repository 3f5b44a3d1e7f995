using PatternCompiler.Instrument;
using PatternCompiler.Measure;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Jobs;

/// <summary>Speeds and waits of what is written with given settings.</summary>
internal static class WrittenTiming
{
    private const double MicrosecondsPerSecond = 1e6;

    // Metres in a second are thousands of nanometres in a microsecond.
    private const double NanometresPerMicrosecond = 1e3;

    /// <summary>By the settings of a build.</summary>
    public static ExposureTiming Of(BuildSettings settings)
    {
        Machine machine = settings.Machine;
        FillOptions fill = StageOptions.Fill(settings.Job, machine, settings.Process);
        var mapping = new DacMapping(machine.Dac, machine.Deflection);
        var settling = new SettleTime(machine.Settle, machine.Clock.Hertz, mapping);
        double madeUpFor = machine.Blanker is { IsPresent: true, IsCompensated: true } ? MicrosecondsPerSecond : 0;
        double untilOn = machine.Blanker.IsPresent ? machine.Blanker.OnDelaySeconds : 0;
        return new ExposureTiming(madeUpFor * machine.Blanker.OffDelaySeconds, madeUpFor * machine.Blanker.OnDelaySeconds, Speed, Wait);

        double Speed(string layer, double doseFactor)
        {
            LayerFill plan = fill.ByLayer.GetValueOrDefault(layer, fill.AllLayers);
            double dose = (plan.LineDoseCoulombsPerMetre ?? fill.LineDoseCoulombsPerMetre) * plan.DoseFactor.Value * doseFactor;
            return NanometresPerMicrosecond * machine.Beam.CurrentAmperes * plan.Passes / dose;
        }

        double Wait(double jumpX, double jumpY)
        {
            long ticks = settling.TicksAfter((long)Math.Round(jumpX / mapping.NanometresPerCodeX), (long)Math.Round(jumpY / mapping.NanometresPerCodeY));
            return MicrosecondsPerSecond * (ticks / machine.Clock.Hertz + untilOn);
        }
    }
}
