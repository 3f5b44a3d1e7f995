using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;

namespace PatternCompiler.Prediction.Compare;

/// <summary>Goes through the exposed points of a document, each with its place on the sample and what it gets.</summary>
internal static class ExposedPoints
{
    private const double NanometresPerFemtometre = 1e-6;
    private const double CoulombsPerZeptocoulomb = 1e-21;
    private const int PointsAtOnce = 1024;

    /// <summary>The points of strokes.</summary>
    /// <param name="document">The strokes.</param>
    /// <param name="visit">Takes x and y in nanometres, and the charge in coulombs.</param>
    public static void Visit(CollectedDocument<StrokesHeader, Stroke> document, Action<double, double, double> visit)
    {
        foreach (Stroke stroke in document.Items)
        {
            for (int i = 0; i < stroke.Points; i++)
            {
                double part = stroke.Points == 1 ? 0 : (double)i / (stroke.Points - 1);
                visit(
                    (stroke.XFemtometres + part * (stroke.EndXFemtometres - stroke.XFemtometres)) * NanometresPerFemtometre,
                    (stroke.YFemtometres + part * (stroke.EndYFemtometres - stroke.YFemtometres)) * NanometresPerFemtometre,
                    stroke.ChargeZeptocoulombs * CoulombsPerZeptocoulomb / stroke.Points);
            }
        }
    }

    /// <summary>The points of records.</summary>
    /// <param name="document">The records.</param>
    /// <param name="visit">Takes x and y in nanometres, and the time with the beam on in seconds.</param>
    public static void Visit(CollectedDocument<RecordsHeader, DeflectionRecord> document, Action<double, double, double> visit)
    {
        var points = new LinePoint[PointsAtOnce];
        var plane = new SamplePlane(document.Header);
        foreach (DeflectionRecord record in document.Items)
        {
            if (record.Kind is not (RecordKind.Line or RecordKind.Dot))
            {
                continue;
            }

            for (int start = 0; start < record.Points; start += points.Length)
            {
                int count = LinePoints.Expand(record, start, points);
                foreach (LinePoint point in points.AsSpan(0, count))
                {
                    (double x, double y) = plane.PlaceOf(point.X, point.Y);
                    visit(x, y, point.Ticks / document.Header.ClockHertz);
                }
            }
        }
    }
}
