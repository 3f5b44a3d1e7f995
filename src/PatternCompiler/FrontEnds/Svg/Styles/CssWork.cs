namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>Bounds the work of matching selectors, and lets it be stopped.</summary>
/// <param name="elements">Elements of the drawing: the bound grows with them.</param>
/// <param name="tooMuch">Makes the error from the bound.</param>
/// <param name="cancellation">Stops the work.</param>
internal sealed class CssWork(int elements, Func<long, Exception> tooMuch, CancellationToken cancellation)
{
    private const long Start = 10_000_000;
    private const long ForEachElement = 1000;

    private readonly long most = Start + (ForEachElement * elements);
    private long done;

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
