namespace PatternCompiler.Prediction.Compare;

/// <summary>Two sequences of items compared one by one.</summary>
/// <param name="FirstCount">Items of the first document.</param>
/// <param name="SecondCount">Items of the second document.</param>
/// <param name="Differing">Places at which the items differ; what one document has more counts, too.</param>
/// <param name="FirstDifference">The first such place, or null.</param>
/// <param name="OnlyInFirst">Items of the first document that have no equal partner anywhere in the second.</param>
/// <param name="OnlyInSecond">Items of the second document that have no equal partner anywhere in the first.</param>
internal sealed record ItemComparison(
    long FirstCount,
    long SecondCount,
    long Differing,
    ItemDifference? FirstDifference,
    long OnlyInFirst,
    long OnlyInSecond)
{
    /// <summary>The same items in the same order.</summary>
    public bool AreEqual => Differing == 0;

    /// <summary>The same items, in whatever order.</summary>
    public bool AreEqualInAnyOrder => OnlyInFirst == 0 && OnlyInSecond == 0;
}
