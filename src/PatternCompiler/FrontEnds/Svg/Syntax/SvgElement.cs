using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Svg.Syntax;

/// <summary>One element of the drawing with its attributes.</summary>
/// <param name="name">Local name.</param>
/// <param name="attributes">Names and values, as written; of attributes in namespaces only the link.</param>
/// <param name="parent">The element around it, or null.</param>
/// <param name="line">Line it starts in.</param>
/// <param name="column">Column it starts in.</param>
internal sealed class SvgElement(string name, (string Name, string Value)[] attributes, SvgElement? parent, int line, int column)
{
    /// <summary>The blanks of CSS and XML.</summary>
    public static readonly char[] Blanks = [' ', '\t', '\n', '\r', '\f'];

    /// <summary>Name of the link attribute of older drawings, in its namespace.</summary>
    public const string OldLink = "xlink:href";

    private string[]? classes;

    /// <summary>Local name.</summary>
    public string Name => name;

    /// <summary>The element around it.</summary>
    public SvgElement? Parent => parent;

    /// <summary>Elements inside, in document order.</summary>
    public List<SvgElement> Children { get; } = [];

    /// <summary>Place among the elements inside the same one, from 0.</summary>
    public int Index { get; init; }

    /// <summary>True for an element of another namespace: it draws nothing, and what it holds is left out; selectors count it.</summary>
    public bool IsForeign { get; init; }

    /// <summary>True if text stands in it, be it a blank.</summary>
    public bool HasText { get; set; }

    /// <summary>Label of a group, from an attribute <c>label</c> of a foreign namespace.</summary>
    public string? Label { get; init; }

    /// <summary>The element before it in the same one, or null.</summary>
    public SvgElement? Before => parent is null || Index == 0 ? null : parent.Children[Index - 1];

    /// <summary>Its classes.</summary>
    public string[] Classes => classes ??= (Get("class") ?? "").Split(Blanks, StringSplitOptions.RemoveEmptyEntries);

    /// <summary>What it refers to, or null.</summary>
    public string? Link => Get("href") ?? Get(OldLink);

    /// <summary>Length of all its attributes, which is the work of drawing it.</summary>
    public int Characters { get; } = attributes.Sum(attribute => attribute.Value.Length);

    /// <summary>Value of an attribute, or null.</summary>
    public string? Get(string attribute)
    {
        foreach ((string key, string value) in attributes)
        {
            if (key == attribute)
            {
                return value;
            }
        }

        return null;
    }

    /// <summary>The same element, without its children, with some attributes set.</summary>
    public SvgElement With(IReadOnlyList<(string Name, string Value)> changed) =>
        new(name, [.. changed, .. attributes], parent, line, column) { Index = Index, Label = Label };

    /// <summary>Where it stands, for what it draws on a layer: by its id, or by line and column.</summary>
    public PlaceId PlaceIn(PlaceTable places, string file, string layer) => Get("id") is string id
        ? places.At(places.NumberOf(new(file, name, null, layer, PlaceNumber.Name)), line, (ulong)places.AddName(id))
        : places.At(places.NumberOf(new(file, name, null, layer, PlaceNumber.Column)), line, (ulong)column);

    /// <summary>Where it stands.</summary>
    public SourcePlace PlaceIn(string file) => new(file, line, column, Get("id") is string id ? $"{name} \"{id}\"" : name);
}
