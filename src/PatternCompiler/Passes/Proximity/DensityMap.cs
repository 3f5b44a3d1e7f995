using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Energy of one long-range term: the figures' dose on a map of cells an eighth of the range wide, convolved with the
/// term's form. A cell's charge is taken as spread evenly over the cell; the Gaussian is narrowed by that much, so that
/// the second moment stays exact.
/// </summary>
internal sealed class DensityMap
{
    private const double CellsPerRange = 8;

    // 200 MB with what the blur needs.
    private const int LargestCells = 1 << 23;
    private const int MarginCells = 5;

    // Bounds of the error at a long straight edge, over the energy of a large area, times the square of the cells in a range:
    // found for edges anywhere within a cell, from 0.3 to 8 cells.
    private const double GaussianEdgeError = 0.046;
    private const double ExponentialEdgeError = 0.0145;

    // Of charge that is spread evenly over a cell.
    private const double EvenCellVariance = 1 / 12.0;

    private readonly double cell;
    private readonly double xLow;
    private readonly double yLow;
    private readonly int columns;
    private readonly int rows;
    private readonly SeparableBlur blur;
    private readonly double[] deposited;
    private readonly double[] scratch;
    private readonly double[] energy;
    private readonly Shares[] shares;

    /// <summary>Prepares a map for some figures.</summary>
    /// <param name="range">Range of the term, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public DensityMap(
        IReadOnlyList<Figure> figures, SpreadShape shape, double range, (double Line, double Dot) chargeOf)
    {
        FigureBox all = FigureBox.Around(figures);
        (double width, double height) = (all.Width, all.Height);
        cell = Math.Max(
            range / CellsPerRange,
            Math.Max(Math.Sqrt(width * height / LargestCells), 2 * MarginCells * Math.Max(width, height) / LargestCells));
        LargestEdgeError = (shape == SpreadShape.Gaussian ? GaussianEdgeError : ExponentialEdgeError) * cell * cell / (range * range);
        // Two cells of margin keep interpolation at the outermost control points inside the map.
        xLow = all.XLow - 2 * cell;
        yLow = all.YLow - 2 * cell;
        columns = (int)(width / cell) + MarginCells;
        rows = (int)(height / cell) + MarginCells;
        blur = new SeparableBlur(shape, range / cell, EvenCellVariance, columns, rows);
        deposited = new double[columns * rows];
        scratch = new double[columns * rows];
        energy = new double[columns * rows];
        shares = SharesOf(figures, chargeOf);
    }

    /// <summary>
    /// Largest error of the energy at a long straight edge, over the term's energy in a large area. Drawings so wide that
    /// their cells cannot be an eighth of the range have a larger one.
    /// </summary>
    public double LargestEdgeError { get; }

    /// <summary>Convolves the figures' dose, one factor per figure.</summary>
    public void Update(float[] doses)
    {
        Array.Clear(deposited);
        double perArea = 1 / (cell * cell);
        for (int chunk = 0; chunk < shares.Length; chunk++)
        {
            (int[] starts, int[] cells, float[] areas) = shares[chunk];
            for (int i = 0; i < starts.Length - 1; i++)
            {
                double dose = doses[chunk * FigureChunks.Size + i] * perArea;
                for (int k = starts[i]; k < starts[i + 1]; k++)
                {
                    deposited[cells[k]] += dose * areas[k];
                }
            }
        }

        blur.Run(deposited, energy, scratch);
    }

    /// <summary>Energy at a point, by cubic interpolation between cell centres.</summary>
    public double At(double x, double y)
    {
        (int first, double u, double v) = Find(x, y);
        return At(first, u, v);
    }

    /// <summary>Energy at a place that <see cref="PlaceOf"/> has found.</summary>
    public double At(MapPlace place) => At(place.First, place.U * (1.0 / MapPlace.Parts), place.V * (1.0 / MapPlace.Parts));

    /// <summary>Where a point of the drawing lies between the cells, to keep.</summary>
    public MapPlace PlaceOf(double x, double y)
    {
        (int first, double u, double v) = Find(x, y);
        return new MapPlace(first, MapPlace.Part(u), MapPlace.Part(v));
    }

    private (int First, double U, double V) Find(double x, double y)
    {
        double u = (x - xLow) / cell - 0.5;
        double v = (y - yLow) / cell - 0.5;
        int column = Math.Clamp((int)Math.Floor(u), 1, columns - 3);
        int row = Math.Clamp((int)Math.Floor(v), 1, rows - 3);
        return ((row - 1) * columns + column - 1, u - column, v - row);
    }

    private double At(int first, double u, double v)
    {
        (double a, double b, double c, double d) = CubicWeights(u);
        (double below, double low, double high, double above) = CubicWeights(v);
        return below * Across(first) + low * Across(first + columns) + high * Across(first + 2 * columns) + above * Across(first + 3 * columns);

        double Across(int start)
        {
            ReadOnlySpan<double> four = energy.AsSpan(start, 4);
            return a * four[0] + b * four[1] + c * four[2] + d * four[3];
        }
    }

    // Lagrange's cubic through four neighbours, the point at t between the middle two.
    private static (double, double, double, double) CubicWeights(double t)
    {
        double outer = t * (t - 1) * (1.0 / 6);
        double inner = (t + 1) * (t - 2) / 2;
        return (-outer * (t - 2), inner * (t - 1), -inner * t, outer * (t + 1));
    }

    private Shares[] SharesOf(IReadOnlyList<Figure> figures, (double Line, double Dot) chargeOf)
    {
        var all = new Shares[FigureChunks.Count(figures.Count)];
        Parallel.For(0, all.Length, chunk =>
        {
            int first = chunk * FigureChunks.Size;
            var starts = new int[Math.Min(FigureChunks.Size, figures.Count - first) + 1];
            var cells = new List<int>(starts.Length);
            var areas = new List<float>(starts.Length);
            Action<int, int, double> add = (row, column, area) =>
            {
                if (area > 0)
                {
                    cells.Add(row * columns + column);
                    areas.Add((float)area);
                }
            };
            for (int i = 0; i < starts.Length - 1; i++)
            {
                CellShares.Of(figures[first + i], xLow, yLow, cell, chargeOf, add);
                starts[i + 1] = cells.Count;
            }

            all[chunk] = new Shares(starts, [.. cells], [.. areas]);
        });
        return all;
    }

    // Of a part of the figures: where each one's cells begin, and the end of the last's, these cells, and the charge in each.
    private readonly record struct Shares(int[] Starts, int[] Cells, float[] Areas);
}

/// <summary>A place on a map.</summary>
/// <param name="First">The first of the sixteen cells around it.</param>
/// <param name="U">How far it lies between the middle two of these, in parts of a cell.</param>
/// <param name="V">See <paramref name="U"/>.</param>
internal readonly record struct MapPlace(int First, ushort U, ushort V)
{
    /// <summary>Parts of a cell.</summary>
    public const int Parts = 1 << 15;

    /// <summary>A part of a cell.</summary>
    public static ushort Part(double cells) => (ushort)Math.Clamp(Math.Round(cells * Parts), 0, Parts);
}
