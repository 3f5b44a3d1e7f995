namespace PatternCompiler.Instrument;

/// <summary>What exposure does to a resist.</summary>
public enum ResistTone
{
    /// <summary>Exposed resist dissolves.</summary>
    Positive,

    /// <summary>Exposed resist stays.</summary>
    Negative,
}
