using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Forward energy at control points, per unit of dose of single figures: a sparse matrix, in parts of <see cref="FigureChunks.Size"/>
/// figures that the points belong to.
/// </summary>
internal sealed class ForwardMatrix
{
    private const int PartsAtATime = 32;

    private readonly Part[] parts;
    private readonly double[][] added = [.. Enumerable.Repeat<double[]>([], PartsAtATime)];

    /// <summary>Of parts in the order of the figures.</summary>
    public ForwardMatrix(Part[] parts) => this.parts = parts;

    /// <summary>True if any number belongs to the points of a figure.</summary>
    public bool HasAny(int figure)
    {
        int[] starts = parts[figure / FigureChunks.Size].Starts;
        int row = figure % FigureChunks.Size;
        return starts[row] < starts[row + 1];
    }

    /// <summary>Sums the energy at the points of a figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="doses">Dose of each figure.</param>
    /// <param name="energies">Set, one for each point.</param>
    public void At(int figure, double[] doses, Span<double> energies)
    {
        energies.Clear();
        Part part = parts[figure / FigureChunks.Size];
        int row = figure % FigureChunks.Size;
        for (int k = part.Starts[row]; k < part.Starts[row + 1]; k++)
        {
            energies[part.Points[k]] += part.Factors[k] * doses[part.Sources[k]];
        }
    }

    /// <summary>
    /// For every figure the sum of some value over all control points, weighted by the part of the figure's forward energy that
    /// reaches them and by the points' lengths.
    /// </summary>
    /// <param name="valueOf">Asked once for each figure, on any thread.</param>
    /// <param name="sums">Set.</param>
    /// <param name="cancellation">Ends it early.</param>
    public void Distribute(ValueOfPoints valueOf, double[] sums, CancellationToken cancellation)
    {
        Array.Clear(sums);

        // What is added is computed on all processors, some parts at a time; added it is in one order.
        for (int first = 0; first < parts.Length; first += PartsAtATime)
        {
            int count = Math.Min(PartsAtATime, parts.Length - first);
            Parallel.For(0, count, new ParallelOptions { CancellationToken = cancellation }, i => Weigh(first + i, valueOf, ref added[i]));
            for (int i = 0; i < count; i++)
            {
                int[] sources = parts[first + i].Sources;
                for (int k = 0; k < sources.Length; k++)
                {
                    sums[sources[k]] += added[i][k];
                }
            }
        }
    }

    // What each number of a part adds to its source.
    private void Weigh(int index, ValueOfPoints valueOf, ref double[] added)
    {
        Part part = parts[index];
        if (added.Length < part.Sources.Length)
        {
            added = new double[part.Sources.Length];
        }

        Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
        for (int row = 0; row < part.Starts.Length - 1; row++)
        {
            double value = valueOf(index * FigureChunks.Size + row, places);
            for (int k = part.Starts[row]; k < part.Starts[row + 1]; k++)
            {
                added[k] = part.Factors[k] * places[part.Points[k]].Length * value;
            }
        }
    }

    /// <summary>Rows of a part's figures.</summary>
    /// <param name="Starts">Where each figure's numbers begin, and the end of the last.</param>
    /// <param name="Points">Which of the figure's points each number belongs to, in rising order.</param>
    /// <param name="Sources">Which figure gives it.</param>
    /// <param name="Factors">How much at dose 1.</param>
    internal sealed record Part(int[] Starts, byte[] Points, int[] Sources, float[] Factors);

    /// <summary>Collects a part, row by row.</summary>
    internal sealed class Builder
    {
        private readonly List<int> starts = new(FigureChunks.Size + 1) { 0 };
        private readonly List<byte> points = [];
        private readonly List<int> sources = [];
        private readonly List<float> factors = [];

        /// <summary>Numbers so far.</summary>
        public int Count => sources.Count;

        /// <summary>Adds a number to the row.</summary>
        public void Add(int point, int source, float factor)
        {
            points.Add((byte)point);
            sources.Add(source);
            factors.Add(factor);
        }

        /// <summary>Takes back all numbers from one on.</summary>
        public void RemoveFrom(int first)
        {
            points.RemoveRange(first, points.Count - first);
            sources.RemoveRange(first, sources.Count - first);
            factors.RemoveRange(first, factors.Count - first);
        }

        /// <summary>Sum of all numbers from one on.</summary>
        public double SumFrom(int first)
        {
            double sum = 0;
            for (int k = first; k < factors.Count; k++)
            {
                sum += factors[k];
            }

            return sum;
        }

        /// <summary>Ends the row of a figure.</summary>
        public void EndFigure() => starts.Add(sources.Count);

        /// <summary>The part.</summary>
        public Part Build() => new([.. starts], [.. points], [.. sources], [.. factors]);
    }
}

/// <summary>Tells one value for all points of a figure, and sets these.</summary>
internal delegate double ValueOfPoints(int figure, Span<ControlPoint> points);
