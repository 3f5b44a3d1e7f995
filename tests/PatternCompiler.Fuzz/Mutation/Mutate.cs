using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Makes a changed input; the given one stays as it is.</summary>
internal delegate byte[] Mutate(byte[] input, FuzzTarget target, ref Dice dice);
