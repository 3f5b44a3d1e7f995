namespace PatternCompiler.Passes.Proximity;

/// <summary>What the correction makes equal.</summary>
public enum ProximityTarget
{
    /// <summary>The energy at every outer edge is half the energy of a large area, so that edges print where they are drawn.</summary>
    Edge,

    /// <summary>The energy averaged over every figure is that of a large area.</summary>
    Average,
}
