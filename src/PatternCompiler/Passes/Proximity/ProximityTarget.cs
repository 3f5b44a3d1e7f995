namespace PatternCompiler.Passes.Proximity;

/// <summary>What the correction makes equal.</summary>
public enum ProximityTarget
{
    /// <summary>The energy at every outer edge is that at which the resist prints, so that edges print where they are drawn.</summary>
    Edge,

    /// <summary>The energy averaged over every figure is that of a large area whose edges print where they are drawn.</summary>
    Average,
}
