using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Mean energy of one long-range term over the control points of each figure.</summary>
internal sealed class FigureBackground
{
    // The middle speaks for points whose root mean square distance from it is below this: half the largest second derivative beside a
    // half plane, a quarter per square range, times the square are 6e-5 of a Gaussian term's energy in a large area; 9e-5 of an exponential one's.
    private const double TogetherInRanges = 1.0 / 64;
    private static readonly MapPlace Apart = new(-1, 0, 0);

    private readonly DensityMap map;
    private readonly double weight;
    private readonly FigurePoints points;
    private readonly MapPlace[] places;

    /// <summary>Finds where figures lie on a map.</summary>
    /// <param name="map">The term's map.</param>
    /// <param name="range">The term's range, in grid steps.</param>
    /// <param name="weight">The term's part of the energy of a large area.</param>
    /// <param name="points">The control points.</param>
    /// <param name="figures">Number of figures.</param>
    /// <param name="cancellation">Ends it early.</param>
    public FigureBackground(DensityMap map, double range, double weight, FigurePoints points, int figures, CancellationToken cancellation)
    {
        (this.map, this.weight, this.points) = (map, weight, points);
        places = new MapPlace[figures];
        FigureChunks.ForEach(figures, figure => places[figure] = PlaceOf(figure, TogetherInRanges * range), cancellation);
    }

    /// <summary>Largest error that the map's cells add to the energy at a long straight edge.</summary>
    public double LargestEdgeError => weight * map.LargestEdgeError;

    /// <summary>Computes the map for some doses.</summary>
    public void Update(float[] doses) => map.Update(doses);

    /// <summary>Mean energy over the points of a figure.</summary>
    public double Of(int figure)
    {
        MapPlace place = places[figure];
        if (place != Apart)
        {
            return weight * map.At(place);
        }

        Span<ControlPoint> own = stackalloc ControlPoint[ControlPoints.Most];
        double sum = 0;
        foreach (ControlPoint point in own[..points.Of(figure, own)])
        {
            sum += point.Weight * map.At(point.X, point.Y);
        }

        return weight * sum;
    }

    private MapPlace PlaceOf(int figure, double together)
    {
        Span<ControlPoint> own = stackalloc ControlPoint[ControlPoints.Most];
        own = own[..points.Of(figure, own)];
        (double x, double y) = (0, 0);
        foreach (ControlPoint point in own)
        {
            (x, y) = (x + point.Weight * point.X, y + point.Weight * point.Y);
        }

        double spread = 0;
        foreach (ControlPoint point in own)
        {
            spread += point.Weight * ((point.X - x) * (point.X - x) + (point.Y - y) * (point.Y - y));
        }

        return spread <= together * together ? map.PlaceOf(x, y) : Apart;
    }
}
