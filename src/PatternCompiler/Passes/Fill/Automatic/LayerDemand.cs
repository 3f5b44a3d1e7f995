using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>What the figures of one layer ask for: their range of doses, and how many lines how much charge is spread over.</summary>
internal sealed class LayerDemand
{
    private const double NanometresPerFemtometre = 1e-6;

    /// <summary>Lowest dose factor of anything on the layer; infinite if there is nothing.</summary>
    public double LowestFactor { get; private set; } = double.PositiveInfinity;

    /// <summary>Highest dose factor of anything on the layer.</summary>
    public double HighestFactor { get; private set; }

    /// <summary>Lowest dose factor of an area; infinite if there is none.</summary>
    public double LowestAreaFactor { get; private set; } = double.PositiveInfinity;

    /// <summary>Highest dose factor of an area.</summary>
    public double HighestAreaFactor { get; private set; }

    /// <summary>Lowest dose factor of a single line; infinite if there is none.</summary>
    public double LowestLineFactor { get; private set; } = double.PositiveInfinity;

    /// <summary>Highest dose factor of a single line.</summary>
    public double HighestLineFactor { get; private set; }

    /// <summary>Sum over the areas of their extent across the lines, in nanometres: over the pitch, the number of lines.</summary>
    public double ExtentNanometres { get; private set; }

    /// <summary>Sum over the areas of area times dose factor, in square nanometres.</summary>
    public double WeightedSquareNanometres { get; private set; }

    /// <summary>Sum over the single lines of length times dose factor, in nanometres.</summary>
    public double WeightedNanometres { get; private set; }

    /// <summary>Sum of the dose factors of the dots.</summary>
    public double WeightedDots { get; private set; }

    /// <summary>Lowest dose factor of a dot; infinite if there is none.</summary>
    public double LowestDotFactor { get; private set; } = double.PositiveInfinity;

    /// <summary>True if the layer has areas with a dose.</summary>
    public bool HasAreas => HighestAreaFactor > 0;

    /// <summary>True if the layer has single lines with a dose.</summary>
    public bool HasLines => HighestLineFactor > 0;

    /// <summary>Adds a figure.</summary>
    /// <param name="figure">The figure.</param>
    /// <param name="gridFemtometres">Size of a grid step.</param>
    /// <param name="direction">Which way lines run.</param>
    public void Add(in Figure figure, long gridFemtometres, FillDirection direction)
    {
        double factor = figure.DoseFactor.Value;
        if (!(factor > 0))
        {
            return;
        }

        LowestFactor = Math.Min(LowestFactor, factor);
        HighestFactor = Math.Max(HighestFactor, factor);
        if (figure.Kind == FigureKind.Trapezoid)
        {
            LowestAreaFactor = Math.Min(LowestAreaFactor, factor);
            HighestAreaFactor = Math.Max(HighestAreaFactor, factor);
            var shape = new AreaShape(figure, gridFemtometres, AreaShape.LinesRunAlongX(figure, direction));
            ExtentNanometres += (shape.High - shape.Low) * NanometresPerFemtometre;
            WeightedSquareNanometres += factor * shape.Area * NanometresPerFemtometre * NanometresPerFemtometre;
        }
        else if (figure.Kind == FigureKind.Line)
        {
            LowestLineFactor = Math.Min(LowestLineFactor, factor);
            HighestLineFactor = Math.Max(HighestLineFactor, factor);
            (double x, double y) = ((double)figure.End.X - figure.Start.X, (double)figure.End.Y - figure.Start.Y);
            WeightedNanometres += factor * Math.Sqrt(x * x + y * y) * gridFemtometres * NanometresPerFemtometre;
        }
        else
        {
            WeightedDots += factor;
            LowestDotFactor = Math.Min(LowestDotFactor, factor);
        }
    }
}
