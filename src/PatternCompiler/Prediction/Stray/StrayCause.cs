namespace PatternCompiler.Prediction.Stray;

/// <summary>Why a jump exposes.</summary>
public enum StrayCause
{
    /// <summary>The blanker lets part of the beam through.</summary>
    Leak,

    /// <summary>The beam is still on while the deflection sets off.</summary>
    LateBlanking,

    /// <summary>There is no blanker.</summary>
    NoBlanker,
}
