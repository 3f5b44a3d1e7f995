using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Walks through the elements, carries transforms, styles and layers down, and hands on what is drawn.</summary>
internal sealed class SvgWalk(SvgContext context, SvgTree tree, SvgOptions options, SvgShapeSink shapes, CancellationToken cancellation)
{
    private const int CharactersOfOneCopy = 32;

    // A copy is worth about four statements of a text layout.
    private const int Weight = 4;
    private const int DeepestUse = 256;

    private readonly SvgStyleSheet sheet = SvgStyleSheet.Parse(tree.Styles);
    private readonly HashSet<SvgElement> copied = [];
    private long copies;

    /// <summary>Walks the whole drawing.</summary>
    public void Run(SvgPage page)
    {
        if (sheet.UnknownSelectors > 0)
        {
            context.LeaveOut(tree.Root, $"a style rule with a compound selector ({sheet.UnknownSelectors} in all)");
        }

        SvgStyle style = SvgStyle.Initial.For(tree.Root, sheet, context, page.Viewport.Diagonal);
        var state = new State(page.Map.After(SvgTransform.Of(context, tree.Root, style.Transform)), style, null, page.Viewport);
        if (style.IsDisplayed)
        {
            VisitChildren(tree.Root, state);
        }
    }

    private void VisitChildren(SvgElement element, State state)
    {
        foreach (SvgElement child in element.Children)
        {
            Visit(child, state);
        }
    }

    private void Visit(SvgElement element, State outer)
    {
        copies += copied.Count > 0 ? 1 + (element.Characters / CharactersOfOneCopy) : 0;
        long most = options.Limits[WorkKind.Expansion] / Weight;
        if (copies > most)
        {
            throw context.Fault(
                SvgCodes.TooLarge,
                $"'use' makes more than {most} copies of elements",
                element,
                "draw arrays in a text layout instead; or raise 'limits: expansion' in the job");
        }

        cancellation.ThrowIfCancellationRequested();

        if (IsWithoutPicture(element.Name))
        {
            return;
        }

        string layer = outer.Layer ?? GroupName(element) ?? SvgOptions.LayerWithoutGroup;
        bool isShape = SvgBasicShapes.IsShape(element.Name);
        if (!isShape && element.Name is not ("g" or "a" or "svg" or "use" or "switch"))
        {
            context.Ignore(element, element.Name, layer);
            return;
        }

        SvgStyle style = outer.Style.For(element, sheet, context, outer.Viewport.Diagonal);
        if (!style.IsDisplayed)
        {
            context.Ignore(element, $"hidden {element.Name}", layer);
            return;
        }

        Affine map = outer.Map.After(SvgTransform.Of(context, element, style.Transform));
        State state = outer with { Map = map, Style = style, Layer = outer.Layer ?? GroupName(element) };
        switch (element.Name)
        {
            case "use":
                VisitUse(element, state);
                break;
            case "svg":
                VisitChildren(element, Inside(element, state, element));
                break;
            case "switch":
                if (element.Children.FirstOrDefault(child => !IsWithoutPicture(child.Name)) is SvgElement first)
                {
                    Visit(first, state);
                }

                break;
            case "g" or "a":
                VisitChildren(element, state);
                break;
            default:
                Draw(element, state, layer);
                break;
        }
    }

    private void Draw(SvgElement element, State state, string layer)
    {
        SvgStyle style = state.Style;
        bool isFilled = style.Fill != "none" && element.Name != "line";
        bool isStroked = style.Stroke != "none" && style.StrokeWidth > 0;
        if (!style.IsVisible || (!isFilled && !isStroked))
        {
            context.Ignore(element, style.IsVisible ? $"{element.Name} with neither fill nor stroke" : $"hidden {element.Name}", layer);
            return;
        }

        List<SvgSubpath> outline = SvgBasicShapes.Outline(context, element, state.Viewport);
        if (outline.Count == 0)
        {
            context.Ignore(element, $"{element.Name} without area", layer);
            return;
        }

        bool byColour = options.LayerNaming == SvgLayerNaming.ByColour;
        if (isFilled)
        {
            shapes.Fill(element, outline, state.Map, style.FillRule, byColour ? SvgColour.Normalise(style.Fill) : layer);
        }

        if (isStroked)
        {
            shapes.Stroke(element, outline, state.Map, style, byColour ? SvgColour.Normalise(style.Stroke) : layer);
        }
    }

    private void VisitUse(SvgElement use, State state)
    {
        string reference = use.Get("href") ?? "";
        if (!reference.StartsWith('#'))
        {
            throw context.Fault(
                SvgCodes.MissingReference,
                reference.Length == 0 ? "this 'use' names no element" : $"\"{SvgLength.Shorten(reference)}\" is in another file, which is not read",
                use,
                "copy elements of this file only, as in href=\"#id\"");
        }

        SvgElement target = tree.Find(reference[1..])
            ?? throw context.Fault(SvgCodes.MissingReference, $"there is no element with the id \"{SvgLength.Shorten(reference[1..])}\"", use, "name an element of this file");
        if (copied.Count == DeepestUse)
        {
            throw context.Fault(SvgCodes.TooLarge, $"copies nest more than {DeepestUse} deep", use, "copy the element itself instead of copies of it");
        }

        if (IsInside(use, target) || !copied.Add(target))
        {
            throw context.Fault(SvgCodes.CircularUse, $"the element \"{SvgLength.Shorten(reference[1..])}\" copies itself", use, "remove this 'use'");
        }

        double x = SvgLength.Read(context, use, "x", state.Viewport.Width);
        double y = SvgLength.Read(context, use, "y", state.Viewport.Height);
        State moved = state with { Map = state.Map.After(new(1, 0, 0, 1, x, y)) };
        if (target.Name is "symbol")
        {
            SvgStyle style = moved.Style.For(target, sheet, context, moved.Viewport.Diagonal);
            VisitChildren(target, Inside(target, moved with { Style = style }, use));
        }
        else
        {
            Visit(target, moved);
        }

        copied.Remove(target);
    }

    /// <summary>The state inside an element with a viewport of its own.</summary>
    private State Inside(SvgElement element, State state, SvgElement sized)
    {
        bool isSymbol = element.Name == "symbol";
        double x = isSymbol ? 0 : SvgLength.Read(context, element, "x", state.Viewport.Width);
        double y = isSymbol ? 0 : SvgLength.Read(context, element, "y", state.Viewport.Height);
        double width = SvgLength.Read(context, sized, "width", state.Viewport.Width, state.Viewport.Width);
        double height = SvgLength.Read(context, sized, "height", state.Viewport.Height, state.Viewport.Height);
        Affine map = state.Map.After(new(1, 0, 0, 1, x, y));
        if (SvgViewport.ViewBox(context, element) is not { } box)
        {
            return state with { Map = map, Viewport = new(width, height) };
        }

        // A symbol in a viewport of unknown size is drawn in its own units.
        Affine fit = width > 0 && height > 0
            ? SvgViewport.Fit(box, width, height, element.Get("preserveAspectRatio"))
            : new Affine(1, 0, 0, 1, -box.X, -box.Y);
        return state with { Map = map.After(fit), Viewport = new(box.Width, box.Height) };
    }

    private static bool IsInside(SvgElement? element, SvgElement container)
    {
        for (; element is not null; element = element.Parent)
        {
            if (element == container)
            {
                return true;
            }
        }

        return false;
    }

    private static string? GroupName(SvgElement element) => element.Name == "g" ? element.Label ?? element.Get("data-layer") ?? element.Get("id") : null;

    /// <summary>Elements that a viewer does not draw where they stand either.</summary>
    private static bool IsWithoutPicture(string name) => name is "defs" or "symbol" or "title" or "desc" or "metadata" or "style" or "script"
        or "linearGradient" or "radialGradient" or "pattern" or "clipPath" or "mask" or "marker" or "filter" or "view";

    private sealed record State(Affine Map, SvgStyle Style, string? Layer, SvgViewport Viewport);
}
