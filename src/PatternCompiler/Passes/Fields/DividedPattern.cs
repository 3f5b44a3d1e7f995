using System.Collections.Immutable;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fields;

/// <summary>A pattern in write fields.</summary>
/// <param name="Plan">The fields.</param>
/// <param name="Figures">The figures of each field, in the plan's order, with the field's centre at the origin.</param>
/// <param name="Cut">Number of figures that had to be cut.</param>
internal sealed record DividedPattern(FieldPlan Plan, ImmutableArray<FiguresDocument> Figures, int Cut);
