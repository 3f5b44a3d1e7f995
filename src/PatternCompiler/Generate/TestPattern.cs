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
    /// <summary>Columns of the table to fill in with what is measured on the pattern; null if it has none.</summary>
    public string? Columns { get; init; }

    /// <summary>The pattern as a layout, on the default grid.</summary>
    public LayoutDocument Build(IEnumerable<KeyValuePair<string, string>> settings) => Drawn(settings).ToLayout();

    /// <summary>The pattern on its sheet: the layout, and the rows of the table.</summary>
    public PatternDrawing Drawn(IEnumerable<KeyValuePair<string, string>> settings)
    {
        const long Grid = LayoutDocument.DefaultGridPicometres;
        var drawing = new PatternDrawing(Name, Grid);
        Draw(new PatternArguments(this, settings, Grid), drawing);
        return drawing;
    }
}

/// <summary>What a test pattern is for, in three steps.</summary>
/// <param name="Expose">How to write it.</param>
/// <param name="Measure">What to look at or measure afterwards.</param>
/// <param name="Use">What the numbers tell, and which fit takes them.</param>
internal sealed record PatternGuide(string Expose, string Measure, string Use);
