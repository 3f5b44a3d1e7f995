namespace PatternCompiler.Instrument;

/// <summary>One field of a bare word.</summary>
/// <param name="Content">What it carries.</param>
/// <param name="Bits">Its width, 1 to 32.</param>
public readonly record struct WordField(WordContent Content, int Bits);
