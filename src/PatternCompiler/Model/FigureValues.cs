using System.Runtime.CompilerServices;

namespace PatternCompiler.Model;

/// <summary>A number for each figure, 0 at first. Memory grows with the figures that are used, not with their numbers.</summary>
internal sealed class FigureValues
{
    private const int PageBits = 6;
    private const int PageSize = 1 << PageBits;

    private readonly Dictionary<int, double[]> pages = [];
    private double[] page = [];
    private int pageNumber = -1;

    /// <summary>The number of a figure, 0 or more.</summary>
    public ref double this[int figure]
    {
        get
        {
            if (figure >> PageBits != pageNumber)
            {
                Turn(figure >> PageBits);
            }

            return ref page[figure & (PageSize - 1)];
        }
    }

    /// <summary>Figures with a number other than 0, in order.</summary>
    public IEnumerable<(int Figure, double Value)> InOrder()
    {
        foreach (int number in pages.Keys.Order())
        {
            double[] values = pages[number];
            for (int i = 0; i < PageSize; i++)
            {
                if (values[i] != 0)
                {
                    yield return ((number << PageBits) + i, values[i]);
                }
            }
        }
    }

    [MethodImpl(MethodImplOptions.NoInlining)]
    private void Turn(int number)
    {
        if (!pages.TryGetValue(number, out double[]? found))
        {
            found = new double[PageSize];
            pages.Add(number, found);
        }

        (page, pageNumber) = (found, number);
    }
}
