namespace PatternCompiler.Passes.Fields;

/// <summary>Figures divided along one axis.</summary>
/// <param name="Fields">The figures of each field, in the order in which they came.</param>
/// <param name="Seams">The seams between the fields.</param>
/// <param name="Bent">How many sides were bent to a grid point at a seam.</param>
internal sealed record AxisDivision(List<FieldPart>[] Fields, int[] Seams, int Bent);
