using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>What a scope saw of one line.</summary>
/// <param name="Line">The line.</param>
/// <param name="Name">The channel's name in its table.</param>
/// <param name="Seconds">Time of each sample by the scope, rising.</param>
/// <param name="Volts">Each sample.</param>
internal sealed record MeasuredTrace(TraceLine Line, string Name, ImmutableArray<double> Seconds, ImmutableArray<double> Volts);
