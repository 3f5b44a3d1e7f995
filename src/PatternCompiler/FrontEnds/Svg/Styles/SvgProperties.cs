namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>The properties that decide what an element covers, or that would if they were read.</summary>
internal static class SvgProperties
{
    private static readonly Property[] All =
    [
        new("color", "black", IsInherited: true),
        new("fill", "black", IsInherited: true),
        new("fill-rule", "nonzero", IsInherited: true),
        new("fill-opacity", "1", IsInherited: true),
        new("stroke", "none", IsInherited: true),
        new("stroke-opacity", "1", IsInherited: true),
        new("stroke-width", "1", IsInherited: true),
        new("stroke-linecap", "butt", IsInherited: true),
        new("stroke-linejoin", "miter", IsInherited: true),
        new("stroke-miterlimit", "4", IsInherited: true),
        new("stroke-dasharray", "none", IsInherited: true),
        new("marker-start", "none", IsInherited: true),
        new("marker-mid", "none", IsInherited: true),
        new("marker-end", "none", IsInherited: true),
        new("visibility", "visible", IsInherited: true),
        new("display", "inline"),
        new("opacity", "1"),
        new("overflow", "visible"),
        new("vector-effect", "none"),
        new("transform", "none"),
        new("transform-origin", "0 0"),
        new("transform-box", "view-box", IsAttribute: false),
        new("stop-color", "black"),
        new("stop-opacity", "1"),
        new("clip-path", "none"),
        new("clip", "auto"),
        new("mask", "none"),
        new("mask-image", "none", IsAttribute: false),
        new("filter", "none"),
        new("translate", "none", IsAttribute: false),
        new("rotate", "none", IsAttribute: false),
        new("scale", "none", IsAttribute: false),
        new("offset-path", "none", IsAttribute: false),
        new("offset", "none", IsAttribute: false),
        new("zoom", "1", IsAttribute: false),
        new("animation", "none", IsAttribute: false),
        new("animation-name", "none", IsAttribute: false),
        new("content-visibility", "visible", IsAttribute: false),
    ];

    private static readonly string[] Geometry = ["x", "y", "width", "height", "cx", "cy", "r", "rx", "ry", "d"];
    private static readonly Dictionary<string, int> Indices = All.Select((property, index) => (property.Name, index)).ToDictionary(pair => pair.Name, pair => pair.index, StringComparer.Ordinal);

    /// <summary>Number of properties.</summary>
    public static int Count => All.Length;

    /// <summary>Names of the properties by which nothing more is drawn, less, or elsewhere, and which are not read: anything but the initial value is an error.</summary>
    public static IReadOnlyList<string> NotRead { get; } =
        ["clip-path", "clip", "mask", "mask-image", "filter", "translate", "rotate", "scale", "offset-path", "offset", "zoom", "animation", "animation-name", "content-visibility"];

    /// <summary>Place of a property in a style; -1 if it does not matter here.</summary>
    public static int IndexOf(string name) => Indices.GetValueOrDefault(name, -1);

    /// <summary>A property by its place.</summary>
    public static Property At(int index) => All[index];

    /// <summary>All properties in order.</summary>
    public static IEnumerable<Property> Ordered => All;

    /// <summary>True for properties that decide the outline of a shape or the size of a viewport (SVG 2, 7.1).</summary>
    public static bool IsGeometry(string name) => Array.IndexOf(Geometry, name) >= 0;

    /// <summary>True if a declaration of the property can matter.</summary>
    public static bool IsKnown(string name) => IndexOf(name) >= 0 || IsGeometry(name) || name is "marker" or "all" or "overflow-x" or "overflow-y";

    /// <summary>A property.</summary>
    /// <param name="Name">Name in lower case.</param>
    /// <param name="Initial">Value where nothing is stated.</param>
    /// <param name="IsInherited">True if what is not stated comes from the element around.</param>
    /// <param name="IsAttribute">True if an attribute of the same name states it too (SVG 2, 6.6).</param>
    public readonly record struct Property(string Name, string Initial, bool IsInherited = false, bool IsAttribute = true);
}
