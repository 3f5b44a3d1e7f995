using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Mean forward energy over the control points of figures, per unit of dose of single figures: a sparse matrix, in parts of
/// <see cref="FigureChunks.Size"/> figures that the points belong to.
/// </summary>
internal sealed class ForwardMatrix
{
    private readonly Part[] parts;

    /// <summary>Of parts in the order of the figures.</summary>
    public ForwardMatrix(Part[] parts) => this.parts = parts;

    /// <summary>Mean energy over the points of a figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="doses">Dose of each figure.</param>
    public double At(int figure, float[] doses)
    {
        Part part = parts[figure / FigureChunks.Size];
        if (part.Sources.Length == 0)
        {
            return 0;
        }

        int row = figure % FigureChunks.Size;
        double energy = 0;
        for (int k = part.Starts[row]; k < part.Starts[row + 1]; k++)
        {
            energy += part.Factors[k] * doses[part.Sources[k]];
        }

        return energy;
    }

    /// <summary>
    /// For every figure the sum of some value over all figures with points, weighted by the part of its forward energy that
    /// reaches them.
    /// </summary>
    /// <param name="valueOf">Value of the points of a figure.</param>
    /// <param name="sums">Set.</param>
    public void Distribute(Func<int, float> valueOf, float[] sums)
    {
        Array.Clear(sums);
        for (int index = 0; index < parts.Length; index++)
        {
            Part part = parts[index];
            for (int row = 0; row < part.Starts.Length - 1; row++)
            {
                if (part.Starts[row] == part.Starts[row + 1])
                {
                    continue;
                }

                float value = valueOf(index * FigureChunks.Size + row);
                for (int k = part.Starts[row]; k < part.Starts[row + 1]; k++)
                {
                    sums[part.Sources[k]] += part.Factors[k] * value;
                }
            }
        }
    }

    /// <summary>Rows of a part's figures.</summary>
    /// <param name="Starts">Where each figure's numbers begin, and the end of the last; nothing if there are no numbers.</param>
    /// <param name="Sources">Which figure gives it.</param>
    /// <param name="Factors">How much at dose 1.</param>
    internal sealed record Part(int[] Starts, int[] Sources, float[] Factors);

    /// <summary>Collects a part, row by row.</summary>
    internal sealed class Builder
    {
        private readonly List<int> starts = new(FigureChunks.Size + 1) { 0 };
        private readonly List<int> sources = [];
        private readonly List<float> factors = [];

        /// <summary>Adds a number to the row.</summary>
        public void Add(int source, float factor)
        {
            sources.Add(source);
            factors.Add(factor);
        }

        /// <summary>Ends the row of a figure.</summary>
        public void EndFigure() => starts.Add(sources.Count);

        /// <summary>The part.</summary>
        public Part Build() => sources.Count == 0 ? new([], [], []) : new([.. starts], [.. sources], [.. factors]);
    }
}
