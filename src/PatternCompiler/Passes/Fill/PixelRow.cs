namespace PatternCompiler.Passes.Fill;

/// <summary>The doses of one raster row, summed over all figures that it crosses. A regular pixel has dose 1.</summary>
internal sealed class PixelRow
{
    private readonly double[] doses;
    private readonly double[] largest;
    private readonly int[] figures;
    private int first;
    private int beyond;

    /// <param name="pixels">Pixels in a row.</param>
    public PixelRow(int pixels)
    {
        doses = new double[pixels];
        largest = new double[pixels];
        figures = new int[pixels];
        Clear();
    }

    /// <summary>First pixel with a dose.</summary>
    public int First => first;

    /// <summary>Pixel after the last one with a dose; not above <see cref="First"/> if there is none.</summary>
    public int Beyond => beyond;

    /// <summary>Dose of a pixel.</summary>
    public double Dose(int pixel) => doses[pixel];

    /// <summary>The figure that gave the pixel most of its dose.</summary>
    public int Figure(int pixel) => figures[pixel];

    /// <summary>Removes all doses.</summary>
    public void Clear()
    {
        if (beyond > first)
        {
            Array.Clear(doses, first, beyond - first);
            Array.Clear(largest, first, beyond - first);
        }

        first = doses.Length;
        beyond = 0;
    }

    /// <summary>Adds a figure's dose to one pixel.</summary>
    public void Add(int pixel, double dose, int figure)
    {
        if (dose <= 0)
        {
            return;
        }

        // Rounding may put the outermost edge a hair outside the row.
        pixel = Math.Clamp(pixel, 0, doses.Length - 1);
        doses[pixel] += dose;
        if (dose > largest[pixel])
        {
            (largest[pixel], figures[pixel]) = (dose, figure);
        }

        first = Math.Min(first, pixel);
        beyond = Math.Max(beyond, pixel + 1);
    }

    /// <summary>Adds a figure's dose to each pixel of a run.</summary>
    public void AddRun(int from, int to, double dose, int figure)
    {
        from = Math.Max(from, 0);
        to = Math.Min(to, doses.Length);
        if (to <= from || dose <= 0)
        {
            return;
        }

        for (int i = from; i < to; i++)
        {
            doses[i] += dose;
            if (dose > largest[i])
            {
                largest[i] = dose;
                figures[i] = figure;
            }
        }

        first = Math.Min(first, from);
        beyond = Math.Max(beyond, to);
    }

    /// <summary>First pixel that no longer belongs to the run of equal pixels of one figure that starts at a pixel.</summary>
    /// <param name="pixel">Where the run starts.</param>
    /// <param name="direction">1 to go up, −1 to go down.</param>
    public int EndOfRun(int pixel, int direction)
    {
        double dose = doses[pixel];
        int figure = figures[pixel];
        int end = pixel + direction;

        // Equal doses of neighbours differ by rounding only.
        while (end >= first && end < beyond && Math.Abs(doses[end] - dose) <= 1e-9 && (figures[end] == figure || dose == 0))
        {
            end += direction;
        }

        return end;
    }

    /// <summary>
    /// Gives the dose of pixels below a limit to a neighbour with more; that of a lone one waits for the next pixel of the
    /// same figure that can take it.
    /// </summary>
    /// <param name="smallest">Smallest dose of a pixel.</param>
    /// <param name="waiting">Doses that wait, by figure.</param>
    public void FoldSmall(double smallest, Dictionary<int, double> waiting)
    {
        for (int i = first; i < beyond; i++)
        {
            double dose = doses[i];
            if (dose <= 0)
            {
                continue;
            }

            if (waiting.Count > 0 && waiting.GetValueOrDefault(figures[i]) + dose >= smallest && waiting.Remove(figures[i], out double waited))
            {
                dose += waited;
                doses[i] = dose;
            }

            if (dose >= smallest)
            {
                continue;
            }

            doses[i] = 0;
            if (i + 1 < beyond && doses[i + 1] > 0)
            {
                doses[i + 1] += dose;
            }
            else if (i > first && doses[i - 1] > 0)
            {
                doses[i - 1] += dose;
            }
            else
            {
                waiting[figures[i]] = waiting.GetValueOrDefault(figures[i]) + dose;
            }
        }
    }
}
