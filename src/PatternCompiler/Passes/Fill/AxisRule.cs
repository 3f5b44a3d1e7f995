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
