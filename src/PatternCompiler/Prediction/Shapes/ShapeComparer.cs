using PatternCompiler.Geometry;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// Compares a printed pattern with the drawn one by what hangs together, areas as well as the gaps between them, and by
/// parts that are missing or in excess. An edge in the wrong place is an edge error and no fault here, as long as it joins,
/// parts, fills or loses nothing and is off by no more than edges are looked for. Where drawn areas touch in a point alone,
/// either outcome is accepted.
/// </summary>
/// <remarks>
/// Regions and which of them share area are read off rows a pixel apart, and one through every smaller ring; a region is a
/// ring's, so that rows decide only about meeting, never about what hangs together. Printed rings smaller than a pixel in
/// both directions are below what the simulation resolves and are left out.
/// </remarks>
internal static class ShapeComparer
{
    private const double PicometresPerNanometre = 1000;

    /// <summary>Compares.</summary>
    /// <param name="printed">Printed outlines, the printed area on their left.</param>
    /// <param name="drawn">Merged drawn outlines on the same grid, the drawn area on their left.</param>
    /// <param name="gridPicometres">The grid.</param>
    /// <param name="pixelNanometres">Pixel of the simulation.</param>
    /// <param name="reachNanometres">Edges that are off by no more are edge errors.</param>
    /// <param name="window">The only part that is judged, or null for all.</param>
    /// <param name="cancellation">Ends the work early.</param>
    public static ShapeReport Run(
        ContourSet printed,
        ContourSet drawn,
        long gridPicometres,
        double pixelNanometres,
        double reachNanometres,
        SampleWindow? window,
        CancellationToken cancellation)
    {
        int step = (int)Math.Max(1, Math.Round(pixelNanometres * PicometresPerNanometre / gridPicometres));
        double scale = gridPicometres / PicometresPerNanometre;
        var comparison = new ShapeComparison(new ShapeRows(Resolved(printed, step), drawn, step), reachNanometres / scale, cancellation);
        var faults = new List<ShapeFault>();
        foreach ((ShapeFaultKind kind, SampleWindow box) in comparison.Faults())
        {
            var place = new SampleWindow(box.Left * scale, box.Bottom * scale, box.Right * scale, box.Top * scale);
            if (window?.Meets(place) ?? true)
            {
                faults.Add(new ShapeFault(kind, place));
            }
        }

        return new ShapeReport([.. faults.OrderBy(f => f.Kind).ThenBy(f => f.Window.Bottom).ThenBy(f => f.Window.Left)]);
    }

    private static ContourSet Resolved(ContourSet printed, int step)
    {
        var rings = new ContourSetBuilder();
        for (int i = 0; i < printed.Count; i++)
        {
            GridBox box = GridBox.Around(printed[i]);
            if ((long)box.XRight - box.XLeft >= step || (long)box.YTop - box.YBottom >= step)
            {
                rings.AddRing(printed[i]);
            }
        }

        return rings.Count == printed.Count ? printed : rings.ToContourSet();
    }
}
