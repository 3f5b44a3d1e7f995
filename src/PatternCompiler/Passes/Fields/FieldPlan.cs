using System.Collections.Immutable;

namespace PatternCompiler.Passes.Fields;

/// <summary>Where the stage goes.</summary>
/// <param name="GridPicometres">Grid step of all coordinates.</param>
/// <param name="HalfWidth">Reach of a field to either side of its centre, in grid steps.</param>
/// <param name="HalfHeight">Reach upward and downward.</param>
/// <param name="Fields">The fields in the order of the visits; fields without figures are left out.</param>
internal sealed record FieldPlan(long GridPicometres, int HalfWidth, int HalfHeight, ImmutableArray<WriteField> Fields);
