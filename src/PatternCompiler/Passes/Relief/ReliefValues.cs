namespace PatternCompiler.Passes.Relief;

/// <summary>What a number that is drawn with a shape says of the resist in it.</summary>
public enum ReliefValues
{
    /// <summary>Part of the film that remains.</summary>
    Heights,

    /// <summary>Part of the film that goes.</summary>
    Depths,
}
