using System.Collections.Immutable;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Flatten;

/// <summary>The chosen shapes of one cell, in the cell's own coordinates, by layer and dose factor.</summary>
/// <param name="Groups">One entry per layer and dose factor, in the order of their first shapes.</param>
/// <param name="Repeated">Shapes left out because they lie exactly on others.</param>
/// <param name="FirstRepeated">The first of them.</param>
internal sealed record PreparedCell(ImmutableArray<PreparedGroup> Groups, long Repeated, Shape? FirstRepeated);
