using System.Globalization;
using System.Text;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>What an operator writes down who brings one mark to several places of the field: the screws' readings, and where the picture shows it.</summary>
public static class MarkReadings
{
    private const double Bring = 40_000;
    private const double SeenNoise = 10;
    private const double WayRound = 10_000;

    /// <summary>The mark at the middle and four places of the field, and at two of them from the other side.</summary>
    /// <param name="drive">The stage, wherever it stands.</param>
    /// <param name="stage">How it is built: somebody has found the mark once.</param>
    /// <param name="mark">Place of the mark on the sample, in nanometres.</param>
    /// <param name="dice">The noise of places in pictures.</param>
    /// <returns>A table with a heading; places seen in nanometres, readings in micrometres.</returns>
    public static string Of(StageDrive drive, StageTruth stage, (double X, double Y) mark, Dice dice)
    {
        var text = new StringBuilder("mark, seen x [nm], seen y [nm], reading x [um], reading y [um], from x, from y\n");

        // Somebody has found the mark at about the middle of the field.
        (double X, double Y) about = (
            stage.OriginNanometres.X + ((stage.InvertX ? -1 : 1) * mark.X) + dice.Between(-3000, 3000), stage.OriginNanometres.Y + ((stage.InvertY ? -1 : 1) * mark.Y) + dice.Between(-3000, 3000));
        for (int look = 0; look < 3; look++)
        {
            drive.MoveTo(about.X - WayRound, about.Y - WayRound);
            drive.MoveTo(about.X, about.Y);
            (double offX, double offY) = (mark.X - drive.Under.X, mark.Y - drive.Under.Y);
            about = (about.X + ((stage.InvertX ? -1 : 1) * offX), about.Y + ((stage.InvertY ? -1 : 1) * offY));
        }

        foreach ((double x, double y, bool isAbove) in ((double, double, bool)[])[(0, 0, false), (1, 1, false), (1, -1, false), (-1, -1, false), (-1, 1, false), (0, 0, true), (0.5, -0.5, true)])
        {
            (double readX, double readY) = (about.X + (Bring * x), about.Y + (Bring * y));
            double way = isAbove ? -WayRound : WayRound;
            drive.MoveTo(readX - way, readY - way);
            drive.MoveTo(readX, readY);
            string side = isAbove ? "above" : "below";
            text.Append(
                CultureInfo.InvariantCulture,
                $"M, {mark.X - drive.Under.X + dice.Normal(0, SeenNoise):0.0}, {mark.Y - drive.Under.Y + dice.Normal(0, SeenNoise):0.0}, {drive.Reading.X / 1000:0.###}, {drive.Reading.Y / 1000:0.###}, {side}, {side}\n");
        }

        return text.ToString();
    }
}
