using System.Collections.Immutable;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>One condition of a selector on an element.</summary>
internal abstract record CssCondition
{
    /// <summary>Specificity of an id.</summary>
    public const long OfId = 1L << 40;

    /// <summary>Specificity of a class, an attribute or a pseudo-class.</summary>
    public const long OfClass = 1L << 20;

    /// <summary>What it adds to the specificity of its selector.</summary>
    public abstract long Specificity { get; }

    /// <summary>True if it holds for an element.</summary>
    public abstract bool Holds(SvgElement element, CssWork work);
}

/// <summary>Any element.</summary>
internal sealed record CssAny : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => 0;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => true;
}

/// <summary>An element of a name.</summary>
internal sealed record CssType(string Name) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => 1;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => element.Name == Name;
}

/// <summary>The element with an id.</summary>
internal sealed record CssId(string Id) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfId;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => element.Get("id") == Id;
}

/// <summary>An element of a class.</summary>
internal sealed record CssClass(string Name) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfClass;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => element.Classes.Contains(Name);
}

/// <summary>An element with an attribute.</summary>
/// <param name="Name">Name of the attribute.</param>
/// <param name="Sign">NUL, or how the value compares: = ~ | ^ $ *.</param>
/// <param name="Value">Value to compare with.</param>
/// <param name="IgnoresCase">True if letters of ASCII compare without case.</param>
internal sealed record CssAttribute(string Name, char Sign, string Value, bool IgnoresCase) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfClass;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work)
    {
        if (element.Get(Name) is not string found)
        {
            return false;
        }

        StringComparison how = IgnoresCase ? StringComparison.OrdinalIgnoreCase : StringComparison.Ordinal;
        return Sign switch
        {
            '=' => found.Equals(Value, how),
            '~' => Value.Length > 0 && found.Split(SvgElement.Blanks, StringSplitOptions.RemoveEmptyEntries).Any(word => word.Equals(Value, how)),
            '|' => found.Equals(Value, how) || found.StartsWith(Value + "-", how),
            '^' => Value.Length > 0 && found.StartsWith(Value, how),
            '$' => Value.Length > 0 && found.EndsWith(Value, how),
            '*' => Value.Length > 0 && found.Contains(Value, how),
            _ => true,
        };
    }
}

/// <summary>An element that one of several selectors selects, or none of them.</summary>
/// <param name="Selectors">The selectors.</param>
/// <param name="IsNegated">True for <c>:not</c>.</param>
/// <param name="IsWeightless">True for <c>:where</c>.</param>
internal sealed record CssOneOf(ImmutableArray<CssSelector> Selectors, bool IsNegated, bool IsWeightless) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity { get; } = IsWeightless || Selectors.IsEmpty ? 0 : Selectors.Max(selector => selector.Specificity);

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => Selectors.Any(selector => selector.Matches(element, work)) != IsNegated;
}

/// <summary>An element at certain places among its siblings: Step·n + Offset for n of 0 or more.</summary>
/// <param name="Step">Distance of the places.</param>
/// <param name="Offset">First place; 1 is the first sibling.</param>
/// <param name="IsFromEnd">True if places count from the last sibling.</param>
/// <param name="IsOfType">True if only siblings of the same name count.</param>
/// <param name="Of">If not empty, only siblings that one of these selects count.</param>
internal sealed record CssPlace(int Step, int Offset, bool IsFromEnd, bool IsOfType, ImmutableArray<CssSelector> Of) : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity { get; } = OfClass + (Of.IsEmpty ? 0 : Of.Max(selector => selector.Specificity));

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work)
    {
        SvgElement? parent = work.ParentOf(element);
        List<SvgElement> siblings = parent?.Children ?? [element];
        if (!Counts(element, element, work))
        {
            return false;
        }

        int place = 1;
        int own = parent is null ? 0 : element.Index;
        if (!IsOfType && Of.IsEmpty)
        {
            place = IsFromEnd ? siblings.Count - own : own + 1;
        }
        else
        {
            (int from, int to) = IsFromEnd ? (own + 1, siblings.Count) : (0, own);
            work.Count(to - from);
            for (int i = from; i < to; i++)
            {
                place += Counts(siblings[i], element, work) ? 1 : 0;
            }
        }

        long beyond = (long)place - Offset;
        return Step == 0 ? beyond == 0 : beyond % Step == 0 && beyond / Step >= 0;
    }

    private bool Counts(SvgElement sibling, SvgElement element, CssWork work) =>
        (!IsOfType || (sibling.Name == element.Name && sibling.IsForeign == element.IsForeign)) && (Of.IsEmpty || Of.Any(selector => selector.Matches(sibling, work)));
}

/// <summary>The outermost element.</summary>
internal sealed record CssRoot : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfClass;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => element.Parent is null;
}

/// <summary>An element with nothing inside.</summary>
internal sealed record CssEmpty : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfClass;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => element.Children.Count == 0 && !element.HasText;
}

/// <summary>A state that comes from a pointer or a keyboard, which a drawing at rest does not have.</summary>
internal sealed record CssNever : CssCondition
{
    /// <inheritdoc/>
    public override long Specificity => OfClass;

    /// <inheritdoc/>
    public override bool Holds(SvgElement element, CssWork work) => false;
}
