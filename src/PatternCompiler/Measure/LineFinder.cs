using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Measure.Edges;
using PatternCompiler.Measure.Registration;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Measure;

/// <summary>
/// Single lines: their printed width in the middle, and how far their ends lie from where they are drawn, each in a strip along the
/// line that is half as wide as the line is printed.
/// </summary>
/// <param name="fitter">Finds edges in the picture.</param>
/// <param name="profile">The picture's profile of an edge.</param>
/// <param name="map">Where it lies.</param>
/// <param name="noise">Standard deviation of a pixel's noise.</param>
/// <param name="isSeen">Whether a place lies in the picture.</param>
internal sealed class LineFinder(StripFitter fitter, EdgeProfile profile, PictureMap map, double noise, Func<double, double, bool> isSeen)
{
    // Lines that are written several times to make each of them faster lie beside one another by nanometres.
    private const double BesideNanometres = 20;
    private const double ShortestInPixels = 12;
    private const double LongestStripPixels = 64;
    private const int Rounds = 8;
    private const double SettledPixels = 0.05;
    private readonly StripBins bins = new();

    /// <summary>All lines with both ends in the picture that are printed there, in the order of the drawing.</summary>
    public ImmutableArray<MeasuredLine> Find(FlatLayout layout)
    {
        var measured = ImmutableArray.CreateBuilder<MeasuredLine>();
        double scale = layout.GridPicometres * 1e-3;
        foreach (FlatLayer group in layout.Groups)
        {
            for (int i = 0, next; i < group.Lines.Length; i = next)
            {
                Line first = LineOf(group.Lines[i], scale), sum = first;
                for (next = i + 1; next < group.Lines.Length && LineOf(group.Lines[next], scale) is var other && first.IsBeside(other); next++)
                {
                    sum = sum.Plus(other);
                }

                Line mean = sum.Over(next - i);
                if (mean.Length >= ShortestInPixels * map.NanometresPerPixel && isSeen(mean.StartX, mean.StartY) && isSeen(mean.EndX, mean.EndY)
                    && Measure(mean, layout.LayerNames[group.Layer], group.DoseFactor.Value, next - i) is { } line)
                {
                    measured.Add(line);
                }
            }
        }

        return measured.ToImmutable();
    }

    private static Line LineOf(ImmutableArray<GridPoint> points, double scale) => new(points[0].X * scale, points[0].Y * scale, points[^1].X * scale, points[^1].Y * scale) { IsStraight = points.Length == 2 };

    private MeasuredLine? Measure(Line line, string layer, double doseFactor, int times)
    {
        if (!line.IsStraight)
        {
            return null;
        }

        double length = line.Length, pixel = map.NanometresPerPixel;
        (double alongX, double alongY) = ((line.EndX - line.StartX) / length, (line.EndY - line.StartY) / length);
        (double middleX, double middleY) = ((line.StartX + line.EndX) / 2, (line.StartY + line.EndY) / 2);
        double side = Math.Min(length / 2, LongestStripPixels * pixel);
        if (Sides(middleX, middleY, alongY, -alongX, side) is not var (rightEdge, leftEdge))
        {
            return null;
        }

        double width = rightEdge.OffsetNanometres + leftEdge.OffsetNanometres;
        MeasuredEdge start = End(line.StartX, line.StartY, -alongX, -alongY), end = End(line.EndX, line.EndY, alongX, alongY);
        return start.IsFound && end.IsFound
            ? new MeasuredLine(
                line.StartX, line.StartY, line.EndX, line.EndY, layer, doseFactor, times, width, start.OffsetNanometres, end.OffsetNanometres,
                Math.Max(start.StandardErrorNanometres, end.StandardErrorNanometres))
            {
                RightNanometres = (rightEdge.OffsetNanometres - leftEdge.OffsetNanometres) / 2,
                RightErrorNanometres = Math.Sqrt((rightEdge.StandardErrorNanometres * rightEdge.StandardErrorNanometres) + (leftEdge.StandardErrorNanometres * leftEdge.StandardErrorNanometres)) / 2,
            }
            : null;

        MeasuredEdge End(double x, double y, double outX, double outY) =>
            fitter.Fit(new EdgeStrip(x, y, outX, outY, Math.Max(width / 2, 2 * pixel), 0, 0, null, null), profile, 0, noise, bins);
    }

    // Both sides of what has no width as drawn; the edge across from each is where the other round has found it.
    private (MeasuredEdge Out, MeasuredEdge Back)? Sides(double x, double y, double outX, double outY, double length)
    {
        double half = 2 * profile.BlurNanometres;
        for (int round = 0; round < Rounds; round++)
        {
            MeasuredEdge forth = Side(1), back = Side(-1);
            if (!forth.IsFound || !back.IsFound)
            {
                return null;
            }

            double before = half;
            half = (forth.OffsetNanometres + back.OffsetNanometres) / 2;
            if (Math.Abs(half - before) < SettledPixels * map.NanometresPerPixel)
            {
                return (forth, back);
            }
        }

        return null;

        MeasuredEdge Side(int sign) =>
            fitter.Fit(new EdgeStrip(x, y, sign * outX, sign * outY, length, 0, 0, new FacingEdge(0, 0, 0, true), null), profile, half, noise, bins);
    }

    private readonly record struct Line(double StartX, double StartY, double EndX, double EndY)
    {
        public bool IsStraight { get; init; } = true;

        public double Length => Math.Sqrt((EndX - StartX) * (EndX - StartX) + (EndY - StartY) * (EndY - StartY));

        public bool IsBeside(Line other) => IsStraight && other.IsStraight
            && Math.Max(Math.Abs(StartX - other.StartX), Math.Abs(StartY - other.StartY)) <= BesideNanometres
            && Math.Max(Math.Abs(EndX - other.EndX), Math.Abs(EndY - other.EndY)) <= BesideNanometres;

        public Line Plus(Line other) => this with { StartX = StartX + other.StartX, StartY = StartY + other.StartY, EndX = EndX + other.EndX, EndY = EndY + other.EndY };

        public Line Over(int count) => this with { StartX = StartX / count, StartY = StartY / count, EndX = EndX / count, EndY = EndY / count };
    }
}
