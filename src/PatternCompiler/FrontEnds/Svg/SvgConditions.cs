using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Elements for certain viewers only (SVG 2, 5.8).</summary>
internal static class SvgConditions
{
    /// <summary>
    /// True if the element is for every viewer. No extension is known here; what only viewers of a certain language show is an
    /// error, since an exposure must not depend on where it is made.
    /// </summary>
    public static bool Hold(SvgContext context, SvgElement element)
    {
        if (element.Get("systemLanguage") is string language)
        {
            throw context.Fault(SvgCodes.NotRead, $"systemLanguage=\"{SvgLength.Shorten(language)}\" is not read", element, "delete what is for other languages, and this attribute");
        }

        return element.Get("requiredExtensions") is null;
    }
}
