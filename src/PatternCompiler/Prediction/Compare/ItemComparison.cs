using System.Text.Json.Serialization;

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

/// <summary>One place where two documents differ.</summary>
/// <param name="Place">Where, e.g. "figure 17" or "header".</param>
/// <param name="First">The item in the first document as its text form prints it, or null where it has none.</param>
/// <param name="Second">The item in the second document, or null.</param>
internal sealed record ItemDifference(
    string Place,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.Never)] string? First,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.Never)] string? Second);
