using PatternCompiler.Diagnostics;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>One element of the drawing with its attributes; text and foreign elements are left out.</summary>
/// <param name="name">Local name.</param>
/// <param name="attributes">Local names and values, as written. Attributes of foreign namespaces are left out, but for labels.</param>
/// <param name="parent">The element around it, or null.</param>
/// <param name="line">Line it starts in.</param>
/// <param name="column">Column it starts in.</param>
internal sealed class SvgElement(string name, (string Name, string Value)[] attributes, SvgElement? parent, int line, int column)
{
    /// <summary>Local name.</summary>
    public string Name => name;

    /// <summary>The element around it.</summary>
    public SvgElement? Parent => parent;

    /// <summary>Elements inside, in document order.</summary>
    public List<SvgElement> Children { get; } = [];

    /// <summary>Label of a group, from an attribute <c>label</c> of a foreign namespace.</summary>
    public string? Label { get; init; }

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

    /// <summary>Where it stands.</summary>
    public SourcePlace PlaceIn(string file) => new(file, line, column, Get("id") is string id ? $"{name} \"{id}\"" : name);
}
