namespace PatternCompiler.Passes.Fill;

/// <summary>Spacing along one axis.</summary>
/// <param name="Rule">How positions are chosen.</param>
/// <param name="Spacing">Distance in femtometres.</param>
/// <param name="Codes">Every code, for <see cref="AxisRule.Spread"/>.</param>
/// <param name="Nodes">Every n-th code, for <see cref="AxisRule.Shared"/> and <see cref="AxisRule.Centre"/>.</param>
internal readonly record struct AxisPlan(AxisRule Rule, double Spacing, PointGrid Codes, PointGrid Nodes)
{
    /// <summary>A spacing so many times as wide, on every so many nodes.</summary>
    public AxisPlan Times(int count) => this with { Spacing = Spacing * count, Nodes = Nodes with { Step = Nodes.Step * count } };
}
