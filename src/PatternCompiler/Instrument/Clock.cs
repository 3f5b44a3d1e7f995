namespace PatternCompiler.Instrument;

/// <summary>The controller's timing.</summary>
/// <param name="Hertz">Ticks per second.</param>
/// <param name="MinimumDwellTicks">Shortest dwell of one point, 1 or more.</param>
/// <param name="MaximumDwellTicks">Longest dwell of one point that the controller counts.</param>
public sealed record Clock(double Hertz, long MinimumDwellTicks, long MaximumDwellTicks)
{
    internal SettingLine Line => new("clock", Hertz, MinimumDwellTicks, MaximumDwellTicks);
}
