using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Svg.Styles;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>Walks through the elements, carries transforms, styles, viewports and layers down, and hands on what is drawn.</summary>
internal sealed class SvgWalk(SvgContext context, SvgTree tree, SvgStyleSheet sheet, DrawingOptions options, SvgShapeSink shapes, CancellationToken cancellation)
{
    // Layer of what stands in no named group.
    private const string LayerWithoutGroup = "drawing";

    private const int CharactersOfOneCopy = 32;

    // A copy is worth about four statements of a text layout.
    private const int Weight = 4;
    private const int DeepestUse = 256;

    private readonly SvgPaint paints = new(context, tree, sheet);
    private readonly HashSet<SvgElement> copied = [];
    private readonly Dictionary<(SvgElement Copied, SvgElement Element), SvgCascade> ofCopied = [];
    private long copies;

    /// <summary>Walks the whole drawing.</summary>
    public void Run(SvgPage page)
    {
        if (tree.Animation is SvgElement animation)
        {
            throw context.Fault(SvgCodes.NotRead, "animations are not read", animation, "draw one state, and delete the animation");
        }

        SvgStyle style = SvgStyle.Initial.For(context, tree.Root, SvgCascade.Of(context, tree.Root, sheet));
        if (!style.IsDisplayed)
        {
            return;
        }

        SvgFeatures.RequireRead(context, tree.Root, style);
        if (style.Word("transform") != "none")
        {
            throw context.Fault(SvgCodes.NotRead, "a transform of the outermost element is not read", tree.Root, "put it on a group inside");
        }

        VisitChildren(tree.Root, new State(page.Map, style, null, page.Viewport, SvgClip.None, style.Opacity(context, tree.Root, "opacity")));
    }

    private void VisitChildren(SvgElement element, State state)
    {
        foreach (SvgElement child in element.Children)
        {
            Visit(child, state, null);
        }
    }

    /// <param name="written">The element.</param>
    /// <param name="outer">The state around it.</param>
    /// <param name="use">The <c>use</c> that copies it, if one does: it may state a size.</param>
    private void Visit(SvgElement written, State outer, SvgElement? use)
    {
        copies += copied.Count > 0 ? 1 + (written.Characters / CharactersOfOneCopy) : 0;
        long most = options.Limits[WorkKind.Expansion] / Weight;
        if (copies > most)
        {
            throw context.Fault(
                SvgCodes.TooLarge,
                $"'use' makes more than {most} copies of elements",
                written,
                "draw arrays in a text layout instead; or raise 'limits: expansion' in the job");
        }

        cancellation.ThrowIfCancellationRequested();
        bool isSymbol = written.Name == "symbol" && use is not null;
        if (written.IsForeign || (SvgFeatures.IsWithoutPicture(written.Name) && !isSymbol))
        {
            return;
        }

        string layer = outer.Layer ?? GroupName(written) ?? LayerWithoutGroup;
        SvgCascade cascade = CascadeOf(written);
        SvgElement element = cascade.Element;
        SvgStyle style = outer.Style.For(context, element, cascade);
        double opacity = outer.Opacity * style.Opacity(context, element, "opacity");
        if (!style.IsDisplayed || opacity == 0 || !SvgConditions.Hold(context, element))
        {
            context.Ignore(element, !style.IsDisplayed ? $"hidden {element.Name}" : opacity == 0 ? $"transparent {element.Name}" : $"{element.Name} for other viewers", layer);
            return;
        }

        if (SvgFeatures.IsLost(element.Name))
        {
            (style.IsVisible ? (Action<SvgElement, string, string>)context.Lose : context.Ignore)(element, style.IsVisible ? element.Name : $"hidden {element.Name}", layer);
            return;
        }

        bool isShape = SvgBasicShapes.IsShape(element.Name);
        if (!isShape && !isSymbol && element.Name is not ("g" or "a" or "svg" or "use" or "switch"))
        {
            context.Ignore(element, element.Name, layer);
            return;
        }

        SvgFeatures.RequireRead(context, element, style);
        style.RequireWords(context, element);
        List<SvgSubpath> outline = isShape ? SvgBasicShapes.Outline(context, element, outer.Viewport) : [];
        Affine map = outer.Map.After(TransformOf(element, style, outer, outline));
        var state = outer with { Map = map, Style = style, Layer = outer.Layer ?? GroupName(written), Opacity = opacity };
        switch (element.Name)
        {
            case "use":
                VisitUse(element, state);
                break;
            case "svg" or "symbol":
                if (Inside(element, state, outer, use) is State inside)
                {
                    VisitChildren(written, inside);
                }
                else
                {
                    context.Ignore(element, $"{element.Name} without area", layer);
                }

                break;
            case "switch":
                VisitFirst(written, state);
                break;
            case "g" or "a":
                VisitChildren(written, state);
                break;
            default:
                Draw(element, outline, state, layer);
                break;
        }
    }

    private SvgCascade CascadeOf(SvgElement element)
    {
        if (sheet.Copied is not SvgElement copy)
        {
            return SvgCascade.Of(context, element, sheet);
        }

        if (!ofCopied.TryGetValue((copy, element), out SvgCascade? cascade))
        {
            ofCopied.Add((copy, element), cascade = SvgCascade.Of(context, element, sheet));
        }

        return cascade;
    }

    // The first child whose conditions hold is drawn, and no other.
    private void VisitFirst(SvgElement element, State state)
    {
        foreach (SvgElement child in element.Children)
        {
            if (!child.IsForeign && !SvgFeatures.IsWithoutPicture(child.Name) && SvgConditions.Hold(context, child))
            {
                Visit(child, state, null);
                return;
            }
        }
    }

    private Affine TransformOf(SvgElement element, SvgStyle style, State outer, List<SvgSubpath> outline)
    {
        Affine transform = SvgTransform.Of(context, element, style.Text("transform"));
        string origin = style.Text("transform-origin");
        string box = style.Word("transform-box");
        if (transform == Affine.Identity || (origin == "0 0" && box == "view-box"))
        {
            return transform;
        }

        switch (box)
        {
            case "view-box":
                return SvgTransform.About(transform, SvgTransform.Origin(context, element, origin, default, outer.Viewport.Width, outer.Viewport.Height));
            case "fill-box" or "content-box" when outline.Count > 0:
                SvgBounds bounds = shapes.Bounds(element, outline, outer.Map);
                PlanePoint size = bounds.High - bounds.Low;
                return SvgTransform.About(transform, SvgTransform.Origin(context, element, origin, bounds.Low, size.X, size.Y));
            default:
                throw context.Fault(SvgCodes.NotRead, $"transform-box=\"{SvgLength.Shorten(box)}\" is not read for this element", element, "state transform-origin in the units of the view box");
        }
    }

    private void Draw(SvgElement element, List<SvgSubpath> outline, State state, string layer)
    {
        SvgStyle style = state.Style;
        SvgColour? fill = element.Name == "line" ? null : paints.Of(element, style, "fill");
        SvgColour? stroke = paints.Of(element, style, "stroke");
        double width = stroke is null ? 0 : style.StrokeWidth(context, element, state.Viewport.Diagonal);
        stroke = width > 0 ? stroke : null;
        if (!style.IsVisible || (fill is null && stroke is null))
        {
            context.Ignore(element, style.IsVisible ? $"{element.Name} with neither fill nor stroke" : $"hidden {element.Name}", layer);
            return;
        }

        if (outline.Count == 0)
        {
            context.Ignore(element, $"{element.Name} without area", layer);
            return;
        }

        SvgFeatures.RequireReadStroke(context, element, style, stroke is { Opacity: > 0 });
        bool byColour = options.SvgLayerNaming == SvgLayerNaming.ByColour;
        var placed = new SvgShapeSink.Place(state.Map, state.Clip);
        if (IsExposed(element, fill, "fill", state, layer))
        {
            shapes.Fill(element, outline, placed, style.FillRule, byColour ? fill!.Value.Name : layer);
        }

        if (IsExposed(element, stroke, "stroke", state, layer))
        {
            var form = new StrokeStyle(width, style.StrokeEnd, style.StrokeJoin, style.MitreLimit(context, element));
            string name = byColour ? stroke!.Value.Name : layer;
            if (style.IsHairline)
            {
                shapes.Hairline(element, outline, placed, name);
            }
            else
            {
                shapes.Stroke(element, outline, placed, form, name);
            }
        }
    }

    // A viewer shows nothing of what is wholly transparent, and half a tone of what is so in part, which an exposure cannot.
    private bool IsExposed(SvgElement element, SvgColour? paint, string what, State state, string layer)
    {
        if (paint is not { } colour)
        {
            return false;
        }

        double opacity = colour.Opacity * state.Opacity;
        if (opacity == 0)
        {
            context.Ignore(element, $"transparent {what} of {element.Name}", layer);
        }
        else if (opacity < 1)
        {
            context.Choose(element, "transparent in part, exposed like the rest");
        }

        // Viewers paint over what lies below, so that white takes away what black has drawn.
        if (opacity > 0 && colour.Name == "#ffffff")
        {
            context.Choose(element, "painted white, exposed like the rest");
        }

        return opacity > 0;
    }

    private void VisitUse(SvgElement use, State state)
    {
        string reference = use.Link ?? "";
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
        SvgElement? around = sheet.Copied;
        sheet.Copied = target;
        Visit(target, state with { Map = state.Map.After(new(1, 0, 0, 1, x, y)) }, use);
        sheet.Copied = around;
        copied.Remove(target);
    }

    /// <summary>
    /// The state inside an element with a viewport of its own; null if that has no area. A <c>use</c> that states a width or a
    /// height overrules the element's own.
    /// </summary>
    private State? Inside(SvgElement element, State state, State outer, SvgElement? use)
    {
        if (element.Name == "symbol" && Array.Find(["x", "y", "refX", "refY"], name => element.Get(name) is not (null or "0")) is string name)
        {
            throw context.Fault(SvgCodes.NotRead, $"{name} of a symbol is not read", element, "shift its view box, or the 'use' that copies it");
        }

        double x = SvgLength.Read(context, element, "x", outer.Viewport.Width);
        double y = SvgLength.Read(context, element, "y", outer.Viewport.Height);
        double width = Size("width", outer.Viewport.Width);
        double height = Size("height", outer.Viewport.Height);
        if (width == 0 || height == 0)
        {
            return null;
        }

        SvgClip clip = state.Clip;
        if (state.Style.IsCut)
        {
            clip = clip.With(state.Map, x, y, width, height) ?? throw shapes.BeyondGrid(element);
        }

        Affine map = state.Map.After(new(1, 0, 0, 1, x, y));
        return SvgViewport.ViewBox(context, element) is { } box
            ? state with { Map = map.After(SvgViewport.Fit(box, width, height, SvgViewport.Aspect(context, element))), Viewport = new(box.Width, box.Height), Clip = clip }
            : state with { Map = map, Viewport = new(width, height), Clip = clip };

        double Size(string attribute, double whole)
        {
            SvgElement stating = use?.Get(attribute) is not (null or "auto") ? use : element;
            double size = SvgLength.Read(context, stating, attribute, whole, whole);
            return size >= 0
                ? size
                : throw context.Fault(SvgCodes.BadNumber, $"{attribute}=\"{SvgLength.Shorten(stating.Get(attribute)!)}\" is negative", stating, "write a length of zero or more");
        }
    }

    private static bool IsInside(SvgElement? element, SvgElement container)
    {
        // A 'use' whose outline a style states is a copy of the one in the tree: its parents are the same.
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

    private sealed record State(Affine Map, SvgStyle Style, string? Layer, SvgViewport Viewport, SvgClip Clip, double Opacity);
}
