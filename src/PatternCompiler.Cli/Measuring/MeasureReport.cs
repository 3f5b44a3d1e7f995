using System.Globalization;
using System.Text;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Cli.Measuring;

/// <summary>What was measured in a micrograph, for people.</summary>
internal static class MeasureReport
{
    private const int MostListed = 40;
    private const double SeenErrors = 3;

    /// <summary>A plain table.</summary>
    public static string Text(Micrograph picture, MeasuredPicture measured)
    {
        var text = new StringBuilder();
        PictureMap map = measured.Map;
        Line(text, "picture", $"{picture.Width} x {measured.Rows} pixels of {Short(map.NanometresPerPixel, 5)} nm, {Scale(measured)}");
        if (measured.Rows < picture.Height)
        {
            Line(text, "", $"{picture.Height - measured.Rows} rows below it are a strip of data and left out");
        }

        Line(text, "place", $"its middle at ({Micrometres(map.CentreX)}, {Micrometres(map.CentreY)}) um, turned by {Short(map.RotationDegrees, 3)} deg");
        if (measured.Freedom == MapFreedom.Affine)
        {
            double across = Math.Sqrt(map.XByU * map.XByU + map.YByU * map.YByU), upward = Math.Sqrt(map.XByV * map.XByV + map.YByV * map.YByV);
            Line(text, "", $"pixels of {Short(across, 5)} nm across and {Short(upward, 5)} nm upward");
        }

        Line(text, "explained", $"{Short(100 * measured.Explained, 3)} % of its variance by the drawing; edges lie within {Nanometres(measured.ResidualNanometres)} rms of one distance from it");
        Line(text, "an edge", $"blurred by {Nanometres(measured.BlurNanometres)}, {Crest(measured)}; noise of a pixel {Short(100 * measured.Noise / (Math.Abs(measured.Height) + Math.Abs(measured.Crest)), 3)} % of it");
        Line(text, "", $"it lies where the step is half done{(HasCrest(measured) ? ", under the middle of its crest" : "")}{(HasWall(measured) ? ", at the foot of its side wall" : "")}, which this picture tells within {Nanometres(measured.EdgePlaceErrorNanometres)}");
        EdgeErrorReport edges = measured.Edges;
        Line(text, "edges measured", $"{edges.Samples} places, {edges.Lost} of them without a printed edge in reach");
        Line(text, "edge error", $"{Signed(edges.MeanNanometres)} mean, {Nanometres(edges.ThreeSigmaNanometres)} 3 sigma ({Nanometres(3 * measured.EdgeNoiseNanometres)} by the picture's noise), {Signed(edges.WorstNanometres)} at worst");
        foreach (EdgeError error in edges.Worst)
        {
            Line(text, "", $"{Signed(error.Nanometres)} at ({Micrometres(error.XNanometres)}, {Micrometres(error.YNanometres)}) um");
        }

        List(text, "widths", measured.Widths, Width);
        List(text, "squares", measured.Squares, Square);
        List(text, "crosses", measured.Crosses, Cross);
        List(text, "lines", measured.Lines, SingleLine);
        List(text, "dots", measured.Dots, Dot);
        List(text, "verniers", measured.Verniers, Vernier);
        return text.ToString();
    }

    private static string Scale(MeasuredPicture measured) => measured.Freedom == MapFreedom.Rigid
        ? "as stated"
        : $"fitted to the drawing within {Short(100 * measured.ScaleError, 2)} % ({Short(measured.StatedPixelNanometres, 5)} nm stated)";

    // What noise alone may make is not told.
    private static bool HasCrest(MeasuredPicture measured) => Math.Abs(measured.Crest) > SeenErrors * measured.CrestError;

    private static bool HasWall(MeasuredPicture measured) => measured.WallPart > SeenErrors * measured.WallError;

    private static string Crest(MeasuredPicture measured)
    {
        string crest = HasCrest(measured)
            ? $"{(measured.Crest > 0 ? "with a bright crest" : "with a dark crest")} {Short(Math.Abs(measured.Crest / measured.Height), 2)} times as high as its step"
            : "without a crest";
        return HasWall(measured)
            ? $"{crest}, {Short(100 * measured.WallPart, 2)} % of it along a side wall of {Nanometres(Math.Abs(measured.WallNanometres))}"
            : crest;
    }

    private static string Width(MeasuredWidth width) =>
        $"{(width.IsGap ? "gap" : "bar")} of {Nanometres(width.DrawnNanometres)}: {Nanometres(width.WidthNanometres)}{Interval(width)} at ({Micrometres(width.XNanometres)}, {Micrometres(width.YNanometres)}) um";

    private static string Interval(MeasuredWidth width) => double.IsNaN(width.LowNanometres)
        ? ""
        : $" ({Short(width.LowNanometres, 6)} to {Short(width.HighNanometres, 6)}), roughness 3 sigma {Nanometres(width.WidthRoughnessNanometres)} of the width, {Nanometres(width.EdgeRoughnessNanometres)} of an edge,";

    private static string Square(MeasuredSquare square) =>
        $"{Nanometres(square.SideNanometres)} at ({Micrometres(square.XNanometres)}, {Micrometres(square.YNanometres)}) um{(double.IsNaN(square.DoseFactor) ? "" : $", dose factor {Short(square.DoseFactor, 4)}")}: {(square.Prints switch { true => "prints", false => "does not print", null => "in between" })}, {Short(100 * square.Contrast, 3)} % of an edge's step";

    private static string Cross(MeasuredCross cross) =>
        $"at ({Micrometres(cross.XNanometres)}, {Micrometres(cross.YNanometres)}) um: off by ({Signed(cross.MeasuredX - cross.XNanometres)}, {Signed(cross.MeasuredY - cross.YNanometres)}), standard error {Nanometres(Math.Max(cross.ErrorX, cross.ErrorY))}";

    private static string SingleLine(MeasuredLine line) =>
        $"{(line.Times > 1 ? $"{line.Times} times " : "")}from ({Micrometres(line.StartX)}, {Micrometres(line.StartY)}) to ({Micrometres(line.EndX)}, {Micrometres(line.EndY)}) um: {Nanometres(line.WidthNanometres)} wide, starts {Signed(-line.BeforeStartNanometres)} late, ends {Signed(line.BeyondEndNanometres)} late, standard error {Nanometres(line.StandardErrorNanometres)}";

    private static string Dot(MeasuredDot dot) =>
        $"at ({Micrometres(dot.XNanometres)}, {Micrometres(dot.YNanometres)}) um: off by ({Signed(dot.MeasuredX - dot.XNanometres)}, {Signed(dot.MeasuredY - dot.YNanometres)}), standard error {Nanometres(Math.Max(dot.ErrorX, dot.ErrorY))}, radius {Nanometres(dot.RadiusNanometres)}";

    private static string Vernier(MeasuredVernier vernier) =>
        $"at ({Micrometres(vernier.XNanometres)}, {Micrometres(vernier.YNanometres)}) um: the {(vernier.IsUpright ? "right" : "upper")} comb is off by ({Signed(vernier.OffsetX)}, {Signed(vernier.OffsetY)}), standard error {Nanometres(Math.Max(vernier.ErrorX, vernier.ErrorY))}; reading {Short(vernier.Reading, 3)} of {Nanometres(vernier.StepNanometres)}";

    private static void List<T>(StringBuilder text, string name, IReadOnlyList<T> found, Func<T, string> print)
    {
        for (int i = 0; i < Math.Min(found.Count, MostListed); i++)
        {
            Line(text, i == 0 ? name : "", print(found[i]));
        }

        if (found.Count > MostListed)
        {
            Line(text, "", $"and {found.Count - MostListed} more");
        }
    }

    private static void Line(StringBuilder text, string name, string value) => text.Append(name.PadRight(20)).Append(value).Append('\n');

    private static string Nanometres(double value) => value.ToString("0.##", CultureInfo.InvariantCulture) + " nm";

    private static string Signed(double value) => value.ToString("+0.##;-0.##;0", CultureInfo.InvariantCulture) + " nm";

    private static string Micrometres(double nanometres) => (nanometres / 1000).ToString("0.###;-0.###;0", CultureInfo.InvariantCulture);

    private static string Short(double value, int digits) => Units.NumberText.Format(double.Parse(value.ToString("G" + digits.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture), CultureInfo.InvariantCulture));
}
