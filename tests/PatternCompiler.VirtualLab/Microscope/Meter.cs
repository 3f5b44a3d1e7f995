using PatternCompiler.VirtualLab.Specimen;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>Readings as a profiler and the microscope's ruler give them, each with its noise and rounded to a nanometre.</summary>
public sealed class Meter(Dice dice, double thicknessNoiseNanometres = 2, double widthNoiseNanometres = 3)
{
    private const double RowSpacingNanometres = 40;
    private const int Rows = 9;

    /// <summary>Film that is left at a place.</summary>
    public double Thickness(DevelopedFilm film, double x, double y) =>
        Math.Max(0, Math.Round((film.Resist.ThicknessNanometres * film.RemainingAt(x, y)) + dice.Normal(0, thicknessNoiseNanometres)));

    /// <summary>True if a positive resist is gone at a place, or a negative one stands there to half or more.</summary>
    public static bool Prints(DevelopedFilm film, double x, double y) => film.EnergyAt(x, y) >= film.Resist.EdgeMicrocoulombs;

    /// <summary>
    /// Width of what is about a place, printed or not, along x (or y): the mean of some rows. Null if it has no two edges within the
    /// reach to either side.
    /// </summary>
    public double? Width(DevelopedFilm film, double x, double y, bool isAlongX, double reach)
    {
        double sum = 0;
        for (int row = 0; row < Rows; row++)
        {
            double beside = (row - (Rows / 2)) * RowSpacingNanometres;
            (double stepX, double stepY) = isAlongX ? (1.0, 0.0) : (0.0, 1.0);
            (double fromX, double fromY) = (x + (stepY * beside), y + (stepX * beside));
            if (film.DistanceToEdge(fromX, fromY, stepX, stepY, reach) is not { } up || film.DistanceToEdge(fromX, fromY, -stepX, -stepY, reach) is not { } down)
            {
                return null;
            }

            sum += up + down;
        }

        double width = Math.Round((sum / Rows) + dice.Normal(0, widthNoiseNanometres));
        return width > 0 ? width : null;
    }
}
