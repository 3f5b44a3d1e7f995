namespace PatternCompiler.FrontEnds.Svg.Styles;

/// <summary>Bounds the work of matching selectors, and lets it be stopped.</summary>
internal sealed class CssWork(Func<Exception> tooMuch, CancellationToken cancellation)
{
    /// <summary>Elements compared with compounds: some seconds.</summary>
    public const int Most = 100_000_000;

    private int done;

    /// <summary>Counts comparisons.</summary>
    public void Count(int comparisons = 1)
    {
        done += comparisons;
        if (done > Most || done < 0)
        {
            throw tooMuch();
        }

        if ((done & 0xFFFF) == 0)
        {
            cancellation.ThrowIfCancellationRequested();
        }
    }
}
