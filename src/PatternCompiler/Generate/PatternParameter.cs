using PatternCompiler.Units;

namespace PatternCompiler.Generate;

/// <summary>One number that a user may set on a test pattern.</summary>
/// <param name="Name">As typed, e.g. "pitch".</param>
/// <param name="Dimension">What it measures; <see cref="Units.Dimension.Fraction"/> for plain numbers.</param>
/// <param name="Default">Its value, with unit, if the user says nothing.</param>
/// <param name="Meaning">One phrase.</param>
/// <param name="IsCount">A whole number of things.</param>
internal sealed record PatternParameter(string Name, Dimension Dimension, string Default, string Meaning, bool IsCount = false)
{
    /// <summary>Smallest value of a count.</summary>
    public int SmallestCount { get; init; } = 1;

    /// <summary>A length on the sample.</summary>
    public static PatternParameter Length(string name, string value, string meaning) => new(name, Dimension.Length, value, meaning);

    /// <summary>A whole number of things.</summary>
    public static PatternParameter Count(string name, int value, string meaning) =>
        new(name, Dimension.Fraction, NumberText.Format(value), meaning, IsCount: true);

    /// <summary>A whole number of things, none by default.</summary>
    public static PatternParameter CountOrNone(string name, string meaning) => Count(name, 0, meaning) with { SmallestCount = 0 };

    /// <summary>A plain number, such as a dose factor.</summary>
    public static PatternParameter Factor(string name, string value, string meaning) => new(name, Dimension.Fraction, value, meaning);
}
