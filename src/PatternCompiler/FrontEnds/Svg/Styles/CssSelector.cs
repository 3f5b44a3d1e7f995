using System.Collections.Immutable;
using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>How an element of a selector stands to the one before it.</summary>
internal enum CssCombinator
{
    /// <summary>Anywhere inside it.</summary>
    Descendant,

    /// <summary>Right inside it.</summary>
    Child,

    /// <summary>Right after it.</summary>
    NextSibling,

    /// <summary>Anywhere after it, in the same element.</summary>
    LaterSibling,
}

/// <summary>
/// A selector (Selectors 4): compounds of conditions from left to right, each after the first with how it stands to the one
/// before.
/// </summary>
/// <param name="Compounds">Conditions on each element, the one that is styled last.</param>
/// <param name="Combinators">One less.</param>
internal sealed record CssSelector(ImmutableArray<ImmutableArray<CssCondition>> Compounds, ImmutableArray<CssCombinator> Combinators)
{
    /// <summary>Counts of ids, of classes, attributes and pseudo-classes, and of types: in 20 bits each.</summary>
    public long Specificity { get; } = Compounds.Sum(compound => compound.Sum(condition => condition.Specificity));

    /// <summary>True if it selects the element.</summary>
    public bool Matches(SvgElement element, CssWork work)
    {
        if (!All(Compounds[^1], element, work))
        {
            return false;
        }

        // All elements that the compounds so far can stand for, from right to left: no choice has to be taken back.
        HashSet<SvgElement> candidates = [element];
        for (int i = Compounds.Length - 2; i >= 0 && candidates.Count > 0; i--)
        {
            HashSet<SvgElement> found = [], seen = [];
            foreach (SvgElement candidate in candidates)
            {
                Collect(candidate, Combinators[i], Compounds[i], found, seen, work);
            }

            candidates = found;
        }

        return candidates.Count > 0;
    }

    private static void Collect(SvgElement from, CssCombinator combinator, ImmutableArray<CssCondition> compound, HashSet<SvgElement> found, HashSet<SvgElement> seen, CssWork work)
    {
        bool isSibling = combinator is CssCombinator.NextSibling or CssCombinator.LaterSibling;
        SvgElement? other = isSibling ? work.BeforeOf(from) : work.ParentOf(from);

        // From an element that has been seen the way goes on as it did before.
        while (other is not null && seen.Add(other))
        {
            if (All(compound, other, work))
            {
                found.Add(other);
            }

            other = combinator switch
            {
                CssCombinator.Descendant => work.ParentOf(other),
                CssCombinator.LaterSibling => work.BeforeOf(other),
                _ => null,
            };
        }
    }

    private static bool All(ImmutableArray<CssCondition> compound, SvgElement element, CssWork work)
    {
        work.Count();
        foreach (CssCondition condition in compound)
        {
            if (!condition.Holds(element, work))
            {
                return false;
            }
        }

        return true;
    }
}
