using PatternCompiler.FrontEnds.Svg.Syntax;

namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>What matching selectors needs to know: where the tree ends, how much work may be done, when to stop.</summary>
/// <param name="elements">Elements of the drawing: the bound grows with them.</param>
/// <param name="tooMuch">Makes the error from the bound.</param>
/// <param name="cancellation">Stops the work.</param>
internal sealed class CssWork(int elements, Func<long, Exception> tooMuch, CancellationToken cancellation)
{
    private const long Start = 10_000_000;
    private const long ForEachElement = 1000;

    private readonly long most = Start + (ForEachElement * elements);
    private long done;

    /// <summary>
    /// The element that a <c>use</c> copies, or null for the drawing itself: to the selectors a copy is a tree of its own, without
    /// what stands around or beside the original (SVG 2, 5.6.3).
    /// </summary>
    public SvgElement? Copied { get; set; }

    /// <summary>The element around one, or null.</summary>
    public SvgElement? ParentOf(SvgElement element) => element == Copied ? null : element.Parent;

    /// <summary>The element before one in the same, or null.</summary>
    public SvgElement? BeforeOf(SvgElement element) => element == Copied ? null : element.Before;

    /// <summary>Counts comparisons of an element with a compound.</summary>
    public void Count(int comparisons = 1)
    {
        done += comparisons;
        if (done > most)
        {
            throw tooMuch(most);
        }

        if ((done & 0xFFFF) == 0)
        {
            cancellation.ThrowIfCancellationRequested();
        }
    }
}
