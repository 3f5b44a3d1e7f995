using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Proximity;

namespace PatternCompiler.Passes.Route;

/// <summary>
/// The pattern and a margin around it as cells: how much stray dose each may take before it prints, and how much it has
/// taken. What the pattern exposes anyway may take any; other places what the pattern's background leaves of the
/// onset.
/// </summary>
internal sealed class RouteArea
{
    /// <summary>Above this part of the onset an unexposed place comes close to printing.</summary>
    public const double Safety = 0.8;

    private const int LargestSide = 2048;
    private const double CellInDeviations = 1;

    // At an edge the energy falls by this much within a cell.
    private const double ExposedInOnsets = 1.2;
    private const double MarginInDeviations = 40;
    private const double MarginInPatterns = 0.08;
    private const double OutsideInDeviations = 6;
    private const int FlankReach = 3;
    private const int ShelterReach = 16;
    private const int Straight = 3;
    private const int Slanted = 4;
    private readonly float[] capacity;
    private readonly float[] laid;
    private readonly ushort[] depth;
    private readonly double[] flanks;
    private readonly float margin;
    private readonly double left;
    private readonly double bottom;
    private readonly (double Left, double Bottom, double Right, double Top) pattern;

    /// <summary>Looks at the figures of a document.</summary>
    /// <param name="input">The figures.</param>
    /// <param name="doses">Dose of each figure: areas in C/m², lines and dots likewise over one grid step and one square grid step.</param>
    /// <param name="options">Beam and resist.</param>
    /// <param name="field">The part of the sample that the beam can be sent to, in nanometres.</param>
    public RouteArea(FiguresDocument input, double[] doses, RouteOptions options, (double Left, double Bottom, double Right, double Top) field)
    {
        double grid = input.Header.GridPicometres * 1e-3;
        FigureBox all = FigureBox.Around(input.Figures);
        double deviation = options.Spread.Terms[0].RangeNanometres / Math.Sqrt(2);
        pattern = (all.XLow * grid, all.YLow * grid, all.XHigh * grid, all.YHigh * grid);
        double size = Math.Max(pattern.Right - pattern.Left, pattern.Top - pattern.Bottom);
        double around = Math.Max(MarginInDeviations * deviation, MarginInPatterns * size);
        left = Math.Min(pattern.Left, Math.Max(field.Left, pattern.Left - around));
        bottom = Math.Min(pattern.Bottom, Math.Max(field.Bottom, pattern.Bottom - around));
        double width = Math.Max(pattern.Right, Math.Min(field.Right, pattern.Right + around)) - left;
        double height = Math.Max(pattern.Top, Math.Min(field.Top, pattern.Top + around)) - bottom;
        CellNanometres = Math.Max(CellInDeviations * deviation, Math.Max(width, height) / (LargestSide - 2));
        Columns = (int)(width / CellNanometres) + 2;
        Rows = (int)(height / CellNanometres) + 2;
        laid = new float[Columns * Rows];
        flanks = [.. Enumerable.Range(-FlankReach, 2 * FlankReach + 1).Select(i => Math.Exp(-i * i * CellNanometres * CellNanometres / (2 * deviation * deviation)))];
        capacity = Energy(input.Figures, doses, options.Spread, grid, deviation);
        double onset = options.OnsetCoulombsPerSquareMetre;
        double forward = options.Spread.WeightOf(0);
        for (int i = 0; i < capacity.Length; i++)
        {
            capacity[i] = capacity[i] >= ExposedInOnsets * onset ? float.PositiveInfinity : (float)((onset - capacity[i]) / forward);
        }

        margin = (float)((1 - Safety) * onset / forward);

        depth = Depths();
        double outside = OutsideInDeviations * deviation;
        pattern = (pattern.Left - outside, pattern.Bottom - outside, pattern.Right + outside, pattern.Top + outside);
    }

    /// <summary>Side of a cell.</summary>
    public double CellNanometres { get; }

    /// <summary>Cells across.</summary>
    public int Columns { get; }

    /// <summary>Cells upward.</summary>
    public int Rows { get; }

    /// <summary>The cell of a place, or −1 beyond the margin.</summary>
    public int CellAt(double x, double y)
    {
        int column = (int)Math.Floor((x - left) / CellNanometres);
        int row = (int)Math.Floor((y - bottom) / CellNanometres);
        return (uint)column < (uint)Columns && (uint)row < (uint)Rows ? row * Columns + column : -1;
    }

    /// <summary>The cell of a place, or the one nearest to it.</summary>
    public int NearestCellTo(double x, double y) => CellAt(
        Math.Clamp(x, left + CellNanometres / 2, left + (Columns - 0.5) * CellNanometres),
        Math.Clamp(y, bottom + CellNanometres / 2, bottom + (Rows - 0.5) * CellNanometres));

    /// <summary>Middle of a cell.</summary>
    public (double X, double Y) PlaceOf(int cell) =>
        (left + (cell % Columns + 0.5) * CellNanometres, bottom + (cell / Columns + 0.5) * CellNanometres);

    /// <summary>True if the pattern exposes the cell anyway.</summary>
    public bool IsExposed(int cell) => cell >= 0 && float.IsPositiveInfinity(capacity[cell]);

    /// <summary>Distance from a cell to the next unexposed place, in nanometres; 0 on one.</summary>
    public double DepthOf(int cell) => cell >= 0 ? depth[cell] * (CellNanometres / Straight) : 0;

    /// <summary>
    /// The exposed place nearest to another one that lies so deep inside exposed areas, or the deepest within reach; null if
    /// there is none.
    /// </summary>
    public (double X, double Y)? ShelterNear(double x, double y, double deep)
    {
        int middle = CellAt(x, y);
        if (middle < 0)
        {
            return null;
        }

        int best = -1;
        (double Depth, int Distance) bestRank = (0, 0);
        for (int dy = -ShelterReach; dy <= ShelterReach; dy++)
        {
            for (int dx = -ShelterReach; dx <= ShelterReach; dx++)
            {
                int column = middle % Columns + dx;
                int row = middle / Columns + dy;
                if ((uint)column >= (uint)Columns || (uint)row >= (uint)Rows)
                {
                    continue;
                }

                int cell = row * Columns + column;
                (double Depth, int Distance) rank = (Math.Min(deep, DepthOf(cell)), dx * dx + dy * dy);
                if (rank.Depth > bestRank.Depth || (rank.Depth == bestRank.Depth && rank.Depth > 0 && rank.Distance < bestRank.Distance))
                {
                    (best, bestRank) = (cell, rank);
                }
            }
        }

        return best >= 0 ? PlaceOf(best) : null;
    }

    /// <summary>True if a track of some dose through the cell would print together with what was laid there; never beyond the margin.</summary>
    public bool Prints(int cell, double dose) => cell >= 0 && laid[cell] + dose > capacity[cell];

    /// <summary>As <see cref="Prints"/>, with a margin of safety: the dose would come close to printing.</summary>
    public bool ComesClose(int cell, double dose) => cell >= 0 && laid[cell] + dose > capacity[cell] - margin;

    /// <summary>Lays a piece of a track, with its flanks.</summary>
    /// <param name="cell">Where.</param>
    /// <param name="dose">Dose in the middle of the track.</param>
    /// <param name="nanometres">Length of the piece.</param>
    public void Lay(int cell, double dose, double nanometres)
    {
        if (cell < 0)
        {
            return;
        }

        int column = cell % Columns;
        int row = cell / Columns;
        double share = dose * nanometres / CellNanometres / flanks.Sum();
        for (int dy = -FlankReach; dy <= FlankReach; dy++)
        {
            for (int dx = -FlankReach; dx <= FlankReach; dx++)
            {
                if ((uint)(column + dx) < (uint)Columns && (uint)(row + dy) < (uint)Rows)
                {
                    laid[cell + dy * Columns + dx] += (float)(share * flanks[dx + FlankReach] * flanks[dy + FlankReach]);
                }
            }
        }
    }

    /// <summary>True if a place lies outside the pattern's bounds.</summary>
    public bool IsOutside(double x, double y) => x < pattern.Left || x > pattern.Right || y < pattern.Bottom || y > pattern.Top;

    /// <summary>
    /// Distance of every cell to the nearest bare one, in steps of 3 straight and 4 slanted (chamfer distance: G. Borgefors,
    /// Comput. Vis. Graph. Image Process. 34, 344 (1986); within 6% of the true one).
    /// </summary>
    private ushort[] Depths()
    {
        var result = new ushort[capacity.Length];
        for (int i = 0; i < result.Length; i++)
        {
            result[i] = IsExposed(i) ? (ushort)Math.Min(Before(i, -1), ushort.MaxValue) : (ushort)0;
        }

        for (int i = result.Length - 1; i >= 0; i--)
        {
            result[i] = (ushort)Math.Min(result[i], Before(i, 1));
        }

        return result;

        int Before(int i, int direction)
        {
            int column = i % Columns;
            int row = i / Columns + direction;
            int straight = At(column + direction, i / Columns);
            straight = Math.Min(straight, At(column, row));
            int slanted = Math.Min(At(column - 1, row), At(column + 1, row));
            return Math.Min(straight + Straight, slanted + Slanted);
        }

        int At(int column, int row) => (uint)column < (uint)Columns && (uint)row < (uint)Rows ? result[row * Columns + column] : ushort.MaxValue;
    }

    private float[] Energy(IReadOnlyList<Figure> figures, double[] doses, SpreadFunction spread, double grid, double deviation)
    {
        var deposited = new double[Columns * Rows];
        double perArea = grid * grid / (CellNanometres * CellNanometres);
        for (int i = 0; i < figures.Count; i++)
        {
            double dose = doses[i] * perArea;
            CellShares.Of(figures[i], left / grid, bottom / grid, CellNanometres / grid, (1, 1), (row, column, area) =>
            {
                if ((uint)column < (uint)Columns && (uint)row < (uint)Rows)
                {
                    deposited[row * Columns + column] += dose * area;
                }
            });
        }

        // A cell's charge is spread evenly over it already: that is a twelfth of its square of the variance.
        double variance = Math.Max(0.05, deviation * deviation / (CellNanometres * CellNanometres) - 1.0 / 12);
        double[] near = Blur(deposited, variance);
        float[] energy = Array.ConvertAll(near, value => (float)(value * spread.WeightOf(0)));
        for (int term = 1; term < spread.Terms.Length; term++)
        {
            var map = new DensityMap(figures, spread.Terms[term].Shape, spread.Terms[term].RangeNanometres / grid, (1, 1));
            map.Update(Array.ConvertAll(doses, dose => (float)dose));
            double weight = spread.WeightOf(term);
            for (int i = 0; i < energy.Length; i++)
            {
                (double x, double y) = PlaceOf(i);

                // Beyond the pattern the background only falls: its value at the edge is on the safe side.
                energy[i] += (float)(weight * map.At(Math.Clamp(x, pattern.Left, pattern.Right) / grid, Math.Clamp(y, pattern.Bottom, pattern.Top) / grid));
            }
        }

        return energy;
    }

    private double[] Blur(double[] source, double variance)
    {
        int reach = (int)Math.Ceiling(4 * Math.Sqrt(variance));
        double[] kernel = [.. Enumerable.Range(-reach, 2 * reach + 1).Select(i => Math.Exp(-i * i / (2 * variance)))];
        double sum = kernel.Sum();
        var across = new double[source.Length];
        var result = new double[source.Length];
        for (int row = 0; row < Rows; row++)
        {
            for (int column = 0; column < Columns; column++)
            {
                double value = source[row * Columns + column] / sum;
                if (value == 0)
                {
                    continue;
                }

                for (int i = Math.Max(-reach, -column); i <= Math.Min(reach, Columns - 1 - column); i++)
                {
                    across[row * Columns + column + i] += value * kernel[i + reach];
                }
            }
        }

        for (int row = 0; row < Rows; row++)
        {
            for (int i = Math.Max(-reach, -row); i <= Math.Min(reach, Rows - 1 - row); i++)
            {
                double weight = kernel[i + reach] / sum;
                for (int column = 0; column < Columns; column++)
                {
                    result[(row + i) * Columns + column] += weight * across[row * Columns + column];
                }
            }
        }

        return result;
    }
}
