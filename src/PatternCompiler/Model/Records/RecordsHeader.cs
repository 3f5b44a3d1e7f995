using PatternCompiler.Instrument;

namespace PatternCompiler.Model.Records;

/// <summary>What precedes the records of a records document: enough to turn codes into volts and ticks into seconds.</summary>
/// <param name="MachineName">Name from the machine file.</param>
/// <param name="Dac">Bits, voltage range and coding of both outputs.</param>
/// <param name="ClockHertz">Ticks per second.</param>
/// <param name="MinimumDwellTicks">Shortest dwell of one point that the controller keeps.</param>
/// <param name="MaximumDwellTicks">Longest dwell of one point that the controller can count.</param>
/// <param name="NanometresPerCodeX">Signed sample distance of one X code along the sample axis that the X output drives; for pictures and reports.</param>
/// <param name="NanometresPerCodeY">Signed sample distance of one Y code along the sample axis that the Y output drives.</param>
/// <param name="AxesAreSwapped">The X output drives the sample's y axis and the Y output its x axis.</param>
internal sealed record RecordsHeader(
    string MachineName,
    Dac Dac,
    double ClockHertz,
    long MinimumDwellTicks,
    long MaximumDwellTicks,
    double NanometresPerCodeX,
    double NanometresPerCodeY,
    bool AxesAreSwapped)
{
    /// <summary>Level of the blank line with the beam off, for the outputs that hold the line and the receiver that drives it.</summary>
    public BlankLevel BlankLevel { get; init; }

    /// <summary>Records may wait for the trigger input; only a controller that has one can write them.</summary>
    public bool WaitsForTrigger { get; init; }

    /// <summary>The settings with which the records were made.</summary>
    public MadeFor MadeFor { get; init; }
}

/// <summary>Which settings a document was made for, so that it can be refused where others hold.</summary>
/// <param name="Settings">Digest of the machine's settings.</param>
/// <param name="Exposure">Digest of the process's and the dose settings.</param>
internal readonly record struct MadeFor(SettingsDigest Settings, SettingsDigest Exposure)
{
    /// <summary>True if either is stated.</summary>
    public bool IsStated => Settings.IsStated || Exposure.IsStated;
}
