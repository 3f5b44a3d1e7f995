using PatternCompiler.Geometry;

namespace PatternCompiler.Passes.Fields;

/// <summary>One position of the stage and what is written there.</summary>
/// <param name="Row">Counted from below, from 0.</param>
/// <param name="Column">Counted from the left, from 0.</param>
/// <param name="Name">Such as r01c02: row and column counted from 1.</param>
/// <param name="Centre">The pattern's place that stands under the undeflected beam.</param>
/// <param name="Cell">The part of the pattern between the field's seams; where there is no neighbour, to its reach.</param>
internal sealed record WriteField(int Row, int Column, string Name, GridPoint Centre, GridBox Cell);
