using System.Collections.Immutable;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Generate;

/// <summary>A test pattern that can be drawn with parameters.</summary>
/// <param name="Name">As typed.</param>
/// <param name="Summary">One phrase.</param>
/// <param name="Guide">How to expose it, what to measure, what to do with the numbers.</param>
/// <param name="Parameters">What can be set.</param>
/// <param name="Draw">Draws it.</param>
internal sealed record TestPattern(
    string Name,
    string Summary,
    PatternGuide Guide,
    ImmutableArray<PatternParameter> Parameters,
    Action<PatternArguments, PatternDrawing> Draw)
{
    /// <summary>The pattern as a layout, on the default grid.</summary>
    public LayoutDocument Build(IEnumerable<KeyValuePair<string, string>> settings)
    {
        const long Grid = LayoutDocument.DefaultGridPicometres;
        var drawing = new PatternDrawing(Name, Grid);
        Draw(new PatternArguments(this, settings, Grid), drawing);
        return drawing.ToLayout();
    }
}
