using System.Text.Json.Serialization;

namespace PatternCompiler.Prediction.Compare;

/// <summary>One place where two documents differ.</summary>
/// <param name="Place">Where, e.g. "figure 17" or "header".</param>
/// <param name="First">The item in the first document as its text form prints it, or null where it has none.</param>
/// <param name="Second">The item in the second document, or null.</param>
internal sealed record ItemDifference(
    string Place,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.Never)] string? First,
    [property: JsonIgnore(Condition = JsonIgnoreCondition.Never)] string? Second);
