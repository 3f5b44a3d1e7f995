namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults and notes of the boolean and offset passes.</summary>
internal static class BooleanCodes
{
    /// <summary>An operation names a layer that the layout does not have.</summary>
    public static readonly DiagnosticCode UnknownLayer = new(
        "PC1001",
        DiagnosticKind.Input,
        "unknown layer",
        "An operation names a layer that does not occur in the drawing. Layer names are compared letter by letter, " +
        "capitals included.");

    /// <summary>Lines or dots of a layer take no part in an operation on areas.</summary>
    public static readonly DiagnosticCode LinesLeftOut = new(
        "PC1002",
        DiagnosticKind.Loss,
        "lines and dots left out",
        "Set operations combine areas. Single lines without width and dots have none, so they are not part of the result " +
        "layer; they stay on their own layer if it is kept. Give a line a width to include it.");

    /// <summary>An area shrinks to nothing.</summary>
    public static readonly DiagnosticCode ShrunkAway = new(
        "PC1003",
        DiagnosticKind.Loss,
        "nothing left after shrinking",
        "A negative offset removes every feature narrower than twice its distance. Here it removed all of a layer.");

    /// <summary>A grown area leaves the coordinate range.</summary>
    public static readonly DiagnosticCode OutOfRange = new(
        "PC1004",
        DiagnosticKind.Input,
        "grown out of range",
        "Coordinates are whole grid steps within ±(2^30 − 1). An area near that limit has grown beyond it.");

    internal static CompileException NoSuchLayer(string name, IReadOnlyList<string> known) => new(
        UnknownLayer,
        $"there is no layer \"{name}\"",
        fix: known.Count == 0 ? "the drawing has no layers" : $"use one of: {string.Join(", ", known.Select(layer => $"\"{layer}\""))}");
}
