using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Finds which figures give forward energy to which control points. Of points in dense tiles only what large figures give is
/// listed; the rest is the tiles' (<see cref="ForwardTiles"/>).
/// </summary>
internal sealed class ForwardCoupling
{
    private const double Negligible = 1e-6;

    // Only near an inner corner, or beside a narrow gap, is the energy at an edge above the half of a straight one.
    private const float AboveStraightEdge = 0.51f;
    private const double CornerReachInRanges = 1.5;

    private readonly IReadOnlyList<Figure> figures;
    private readonly FigureIndex index;
    private readonly ForwardTiles tiles;
    private readonly FigureIndex? indexOfLarge;
    private readonly double range;
    private readonly (double Line, double Dot) chargeOf;

    /// <summary>Prepares to look around points.</summary>
    /// <param name="figures">The figures.</param>
    /// <param name="index">Where they lie.</param>
    /// <param name="tiles">What is computed on grids.</param>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public ForwardCoupling(
        IReadOnlyList<Figure> figures, FigureIndex index, ForwardTiles tiles, double range, (double Line, double Dot) chargeOf)
    {
        (this.figures, this.index, this.tiles, this.range, this.chargeOf) = (figures, index, tiles, range, chargeOf);
        if (tiles.IsAnyDense)
        {
            indexOfLarge = FigureIndex.OfSome(figures, box => !tiles.IsSmall(box));
        }
    }

    /// <summary>Computes what is given, and holds points near inner corners to their own figures.</summary>
    public ForwardMatrix Compute(FigurePoints points, CancellationToken cancellation)
    {
        tiles.ComputeEnergies(
            null,
            points,
            (figure, places, energies) =>
            {
                for (int i = 0; i < places.Length; i++)
                {
                    if (places[i].OwnForward == 0 && IsHeldInDense(figure, places[i], energies[i]))
                    {
                        points.HoldToOwn(figure, i);
                    }
                }
            },
            cancellation);
        var parts = new ForwardMatrix.Part[FigureChunks.Count(figures.Count)];
        Parallel.For(0, parts.Length, new ParallelOptions { CancellationToken = cancellation }, chunk =>
        {
            var rows = new ForwardMatrix.Builder();
            Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
            for (int figure = chunk * FigureChunks.Size; figure < Math.Min(figures.Count, (chunk + 1) * FigureChunks.Size); figure++)
            {
                int count = points.Of(figure, places);
                for (int i = 0; i < count; i++)
                {
                    if (Gather(figure, i, places[i], rows))
                    {
                        points.HoldToOwn(figure, i);
                    }
                }

                rows.EndFigure();
            }

            parts[chunk] = rows.Build();
        });

        return new ForwardMatrix(parts);
    }

    // True if the point is found to be held to its own figure alone.
    private bool Gather(int owner, int number, ControlPoint point, ForwardMatrix.Builder rows)
    {
        if (point.OwnForward > 0)
        {
            rows.Add(number, owner, point.OwnForward);
            return false;
        }

        int before = rows.Count;
        bool isDense = tiles.IsInDense(owner);
        if ((isDense ? indexOfLarge : index) is { } searched)
        {
            foreach (int figure in searched.Within(point.X, point.Y, GaussianEnergy.Reach * range))
            {
                if (Energy(figures[figure], point, range, chargeOf) is > Negligible and var energy)
                {
                    rows.Add(number, figure, (float)energy);
                }
            }
        }

        if (isDense || rows.SumFrom(before) <= AboveStraightEdge || !IsNearInnerCorner(owner, point))
        {
            return false;
        }

        rows.RemoveFrom(before);
        rows.Add(number, owner, ControlPoint.Edge);
        return true;
    }

    private bool IsHeldInDense(int owner, ControlPoint point, double energyOfSmall)
    {
        double energy = energyOfSmall + EnergyOf(indexOfLarge, point);

        // So close to the limit that the grid's error could decide.
        if (Math.Abs(energy - AboveStraightEdge) <= 2 * ForwardTiles.LargestError)
        {
            energy = EnergyOf(index, point);
        }

        return energy > AboveStraightEdge && IsNearInnerCorner(owner, point);
    }

    private double EnergyOf(FigureIndex? searched, ControlPoint point)
    {
        double energy = 0;
        if (searched is not null)
        {
            foreach (int figure in searched.Within(point.X, point.Y, GaussianEnergy.Reach * range))
            {
                energy += Energy(figures[figure], point, range, chargeOf);
            }
        }

        return energy;
    }

    private bool IsNearInnerCorner(int owner, ControlPoint point) => (point.NormalX != 0 || point.NormalY != 0)
        && ControlPoints.IsNearInnerCorner(figures, index, owner, point, CornerReachInRanges * range);

    /// <summary>What a line or dot gives to its own middle at dose 1.</summary>
    public static double OfItself(in Figure figure, double range, (double Line, double Dot) chargeOf)
    {
        Span<ControlPoint> middle = stackalloc ControlPoint[1];
        ControlPoints.Edges(figure, 0, middle);
        return Energy(figure, middle[0], range, chargeOf) is > Negligible and var energy ? (float)energy : 0;
    }

    /// <summary>Forward energy of one figure of dose 1 at a place.</summary>
    public static double Energy(in Figure figure, ControlPoint point, double range, (double Line, double Dot) chargeOf) => figure.Kind switch
    {
        FigureKind.Line => chargeOf.Line * GaussianEnergy.OfLine(figure.Start, figure.End, point.X, point.Y, range),
        FigureKind.Dot => chargeOf.Dot * GaussianEnergy.OfDot(figure.Start, point.X, point.Y, range),
        _ when figure.IsTransposed => GaussianEnergy.OfTrapezoid(figure.Shape, point.Y, point.X, range),
        _ => GaussianEnergy.OfTrapezoid(figure.Shape, point.X, point.Y, range),
    };
}
