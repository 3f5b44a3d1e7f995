using System.Globalization;
using System.Text;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Bench;

/// <summary>
/// A sample that was developed, coated and put back: it lies turned by 0.8 degrees, 0.4 % off in scale, skewed by 0.2 % and moved by 1.9 um, as the seed
/// has it, and a mark that was damaged lies elsewhere. What was written is metal by now, which the beam sees through the resist.
/// </summary>
/// <param name="lab">The lab.</param>
/// <param name="first">The sample as it was written first.</param>
public sealed class SecondLayer(LabDescription lab, SampleFolder first)
{
    // Windows of a look lie further apart than this, and none is wider.
    private const double WindowNanometres = 12_000;
    private const double Around = 500;
    private const double StepNanometres = 11;
    private const double OverlayNoise = 3;

    private readonly LabTruth truth = lab.With(null);

    /// <summary>How it lies.</summary>
    public LayerTruth Layer { get; } = LayerTruth.Draw(0.8, 0.004, 0.002, 1900, new Dice(lab.With(null).Seed, "layer"));

    /// <summary>Plays a look over it: the detector's samples as a table, and how much charge it took, in femtocoulombs.</summary>
    public (string Samples, double Femtocoulombs) Look(string streamPath)
    {
        DecodedExposure stream = DecodedExposure.Read(streamPath);
        var deposits = new Deposits();
        var windows = new List<(double Left, double Bottom, double Right, double Top)>();
        new StreamExecution(truth, stream.Header, deposits, 0, 0, 0, (x, y, _) => Widen(windows, Layer.Under(x, y))).Play(stream.Records);
        Sample sample = first.Read((0, 0));
        (SampleWindow, DevelopedFilm)[] films =
        [
            .. windows.Select(w => new SampleWindow(w.Left, w.Bottom, w.Right, w.Top).Widened(Around)).Select(window => (window, (Damaged(window) is { } by ? first.Read(by) : sample).Develop(window, StepNanometres))),
        ];
        var detector = new Detector(truth.UnderResist(), Layer, films, new Dice(truth.Seed, "detector"));
        new Laboratory(truth).Look(stream, detector);
        return ("sample\n" + string.Concat(detector.Samples.Select(value => value.ToString("0.####", CultureInfo.InvariantCulture) + "\n")), deposits.TotalFemtocoulombs);
    }

    /// <summary>
    /// Fills in a table of overlay, as a ruler across both layers gives it: how far the middle of what the second layer has near a place lies from that
    /// place of the first.
    /// </summary>
    /// <param name="table">Columns 'x [um]', 'y [um]', 'half width [um]', 'half height [um]', 'off x [nm]', 'off y [nm]'; places and reach in the drawing.</param>
    /// <param name="second">What was written on it.</param>
    public string Overlay(string table, Sample second)
    {
        var dice = new Dice(truth.Seed, "overlay");
        string[] lines = table.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        string[] columns = [.. lines[0].Split(',').Select(name => name.Trim())];
        var text = new StringBuilder(lines[0]).Append('\n');
        foreach (string[] cells in lines.Skip(1).Select(line => line.Split(',')))
        {
            double Number(string column) => 1000 * double.Parse(cells[Array.IndexOf(columns, column)], CultureInfo.InvariantCulture);
            (double wantedX, double wantedY) = Layer.Found(Number("x [um]"), Number("y [um]"));
            (double halfWidth, double halfHeight) = (Number("half width [um]"), Number("half height [um]"));
            (double charge, double x, double y) = (0, 0, 0);
            foreach (Deposit deposit in second.Deposits.All().Where(deposit => Math.Abs(deposit.X - wantedX) < halfWidth && Math.Abs(deposit.Y - wantedY) < halfHeight))
            {
                (charge, x, y) = (charge + deposit.Femtocoulombs, x + (deposit.X * deposit.Femtocoulombs), y + (deposit.Y * deposit.Femtocoulombs));
            }

            cells[Array.IndexOf(columns, "off x [nm]")] = Math.Round((x / charge) - wantedX + dice.Normal(0, OverlayNoise)).ToString(CultureInfo.InvariantCulture);
            cells[Array.IndexOf(columns, "off y [nm]")] = Math.Round((y / charge) - wantedY + dice.Normal(0, OverlayNoise)).ToString(CultureInfo.InvariantCulture);
            text.AppendJoin(',', cells).Append('\n');
        }

        return text.ToString();
    }

    private static void Widen(List<(double Left, double Bottom, double Right, double Top)> windows, (double X, double Y) place)
    {
        int at = windows.FindIndex(w => place.X > w.Right - WindowNanometres && place.X < w.Left + WindowNanometres && place.Y > w.Top - WindowNanometres && place.Y < w.Bottom + WindowNanometres);
        if (at < 0)
        {
            windows.Add((place.X, place.Y, place.X, place.Y));
            return;
        }

        (double left, double bottom, double right, double top) = windows[at];
        windows[at] = (Math.Min(left, place.X), Math.Min(bottom, place.Y), Math.Max(right, place.X), Math.Max(top, place.Y));
    }

    private (double X, double Y)? Damaged(SampleWindow window) =>
        lab.Damaged is { } mark && mark.X > window.Left && mark.X < window.Right && mark.Y > window.Bottom && mark.Y < window.Top ? (mark.ByX, mark.ByY) : null;
}
