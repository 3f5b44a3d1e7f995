using PatternCompiler.Instrument;

namespace PatternCompiler.Passes.Fill;

/// <summary>How positions along one axis are chosen and weighted.</summary>
internal enum AxisRule
{
    /// <summary>Spread evenly over the figure, on any femtometre.</summary>
    Free,

    /// <summary>Spread evenly over the figure, each on its nearest code, weights to match.</summary>
    Spread,

    /// <summary>On the nodes of a lattice; everything between two nodes is shared linearly between them.</summary>
    Shared,

    /// <summary>On the nodes of a lattice that lie inside the figure, with equal weights.</summary>
    Centre,
}

/// <summary>Spacing along one axis.</summary>
/// <param name="Rule">How positions are chosen.</param>
/// <param name="Spacing">Distance in femtometres.</param>
/// <param name="Codes">Every code, for <see cref="AxisRule.Spread"/>.</param>
/// <param name="Nodes">Every n-th code, for <see cref="AxisRule.Shared"/> and <see cref="AxisRule.Centre"/>.</param>
internal readonly record struct AxisPlan(AxisRule Rule, double Spacing, PointGrid Codes, PointGrid Nodes)
{
    private const double FemtometresPerNanometre = 1e6;

    /// <summary>A spacing on an axis whose codes stand at known places, or on any.</summary>
    public static AxisPlan Of(Spacing spacing, CodePlacement placement, CodeAxis? codeAxis)
    {
        double length = spacing.Nanometres * FemtometresPerNanometre;
        if (codeAxis is not CodeAxis axis)
        {
            return new(AxisRule.Free, length, default, default);
        }

        double distance = spacing.IsInCodes ? spacing.Codes * axis.StepFemtometres : length;
        var codes = new PointGrid(axis.OriginFemtometres, axis.StepFemtometres);
        AxisRule rule = placement switch
        {
            CodePlacement.Rounded => AxisRule.Free,
            CodePlacement.Centre => spacing.IsInCodes ? AxisRule.Centre : AxisRule.Free,
            CodePlacement.Weighted => spacing.IsInCodes ? AxisRule.Shared : AxisRule.Spread,
            _ => spacing.IsInCodes ? AxisRule.Shared : AxisRule.Free,
        };
        return new(rule, distance, codes, codes with { Step = distance });
    }

    /// <summary>A spacing so many times as wide, on every so many nodes.</summary>
    public AxisPlan Times(int count) => this with { Spacing = Spacing * count, Nodes = Nodes with { Step = Nodes.Step * count } };
}
