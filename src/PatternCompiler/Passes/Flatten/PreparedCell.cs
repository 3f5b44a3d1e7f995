using System.Collections.Immutable;

namespace PatternCompiler.Passes.Flatten;

/// <summary>The chosen shapes of one cell, in the cell's own coordinates, by layer and dose factor.</summary>
/// <param name="Groups">One entry per layer and dose factor, in the order of their first shapes.</param>
internal sealed record PreparedCell(ImmutableArray<PreparedGroup> Groups);
