namespace PatternCompiler.VirtualLab.Streams;

/// <summary>What a receiver needs of a stream's header, versions 1.0 to 1.2.</summary>
/// <param name="Minor">Minor version.</param>
/// <param name="WordBytes">Bytes of a word, 2 to 4.</param>
/// <param name="HoldsLines">False for the profile of points.</param>
/// <param name="Bits">Bits of the converters.</param>
/// <param name="Coding">0 straight, 1 offset binary, 2 two's complement.</param>
/// <param name="EndsAtLastCode">True if the upper voltage is that of the last code, false if it lies one step beyond.</param>
/// <param name="SwapsAxes">True if the X output drives the sample's y axis.</param>
/// <param name="ClockHertz">Clock.</param>
/// <param name="LowestVolts">Voltage of the lowest code.</param>
/// <param name="HighestVolts">Upper end of the range.</param>
/// <param name="MachineName">Name of the machine that it is for.</param>
/// <param name="BlankLevel">0 not stated, 1 high, 2 low, 3 no blanker.</param>
public sealed record StreamHeader(
    int Minor,
    int WordBytes,
    bool HoldsLines,
    int Bits,
    int Coding,
    bool EndsAtLastCode,
    bool SwapsAxes,
    double ClockHertz,
    double LowestVolts,
    double HighestVolts,
    string MachineName,
    int BlankLevel)
{
    /// <summary>Profiles 2 and 3: records may wait for a trigger.</summary>
    public bool HoldsTriggers { get; init; }
}
