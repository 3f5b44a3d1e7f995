using System.Runtime.InteropServices;
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

    // Points this close together are looked around at once.
    private const double TogetherInRanges = 16;

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
        tiles.HoldPoints((figure, point, energy) => IsHeldInDense(figure, point, energy, points), cancellation);
        var parts = new ForwardMatrix.Part[FigureChunks.Count(figures.Count)];
        Parallel.For(0, parts.Length, new ParallelOptions { CancellationToken = cancellation }, () => new Neighbours(figures, range, chargeOf), (chunk, _, found) =>
        {
            var rows = new ForwardMatrix.Builder();
            Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
            for (int figure = chunk * FigureChunks.Size; figure < Math.Min(figures.Count, (chunk + 1) * FigureChunks.Size); figure++)
            {
                int count = points.Of(figure, places);
                float ofItself = 0;
                FigureBox box = BoxAround(places[..count]);
                int together = Math.Max(box.Width, box.Height) <= TogetherInRanges * range ? count : 1;
                for (int i = 0; i < count; i += together)
                {
                    ofItself += Gather(figure, i, places.Slice(i, together), found, points);
                    found.AddTo(rows);
                }

                if (ofItself > 0)
                {
                    rows.Add(figure, ofItself);
                }

                rows.EndFigure();
            }

            parts[chunk] = rows.Build();
            return found;
        }, _ => { });

        return new ForwardMatrix(parts);
    }

    // What figures give to some points of one, and what it gives itself to those that are held to it alone.
    private float Gather(int owner, int firstNumber, ReadOnlySpan<ControlPoint> places, Neighbours found, FigurePoints points)
    {
        bool isDense = tiles.IsInDense(owner);
        found.Clear();
        if ((isDense ? indexOfLarge : index) is { } searched)
        {
            FigureIndex.Found near = searched.Within(BoxAround(places), GaussianEnergy.Reach * range);
            while (near.MoveNext())
            {
                found.Add(near.Current, near.Box);
            }
        }

        double ofItself = 0;
        for (int i = 0; i < places.Length; i++)
        {
            ControlPoint place = places[i];
            if (place.OwnForward > 0)
            {
                ofItself += place.Weight * place.OwnForward;
                continue;
            }

            double energy = found.Look(place);
            if (!isDense && energy > AboveStraightEdge && IsNearInnerCorner(owner, place))
            {
                ofItself += place.Weight * ControlPoint.Edge;
                points.HoldToOwn(owner, firstNumber + i);
                continue;
            }

            found.Take(place.Weight);
        }

        return (float)ofItself;
    }

    private static FigureBox BoxAround(ReadOnlySpan<ControlPoint> places)
    {
        var box = new FigureBox(places[0].X, places[0].Y, places[0].X, places[0].Y);
        foreach (ControlPoint place in places[1..])
        {
            box = new FigureBox(Math.Min(box.XLow, place.X), Math.Min(box.YLow, place.Y), Math.Max(box.XHigh, place.X), Math.Max(box.YHigh, place.Y));
        }

        return box;
    }

    private bool IsHeldInDense(int owner, int number, double energyOfSmall, FigurePoints points)
    {
        if (indexOfLarge is null && energyOfSmall < AboveStraightEdge - 2 * ForwardTiles.LargestError)
        {
            return false;
        }

        Span<ControlPoint> places = stackalloc ControlPoint[ControlPoints.Most];
        points.Of(owner, places);
        ControlPoint point = places[number];
        double energy = energyOfSmall + EnergyOf(indexOfLarge, point);

        // So close to the limit that the grid's error could decide.
        if (Math.Abs(energy - AboveStraightEdge) <= 2 * ForwardTiles.LargestError)
        {
            energy = EnergyOf(index, point);
        }

        if (energy <= AboveStraightEdge || !IsNearInnerCorner(owner, point))
        {
            return false;
        }

        points.HoldToOwn(owner, number);
        return true;
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

    private bool IsNearInnerCorner(int owner, in ControlPoint point) => (point.NormalX != 0 || point.NormalY != 0)
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

    // Figures near some points of one, and what they give to these.
    private sealed class Neighbours(IReadOnlyList<Figure> figures, double range, (double Line, double Dot) chargeOf)
    {
        private readonly List<(int Figure, FigureBox Box, float AtPoint, double Sum)> all = [];
        private readonly RecurringEnergies energies = new(range, chargeOf);

        public void Clear() => all.Clear();

        public void Add(int figure, in FigureBox box) => all.Add((figure, box, 0, 0));

        // What all give to a point together.
        public double Look(in ControlPoint point)
        {
            double sum = 0;
            var place = new FigureBox(point.X, point.Y, point.X, point.Y);
            foreach (ref (int Figure, FigureBox Box, float AtPoint, double) near in CollectionsMarshal.AsSpan(all))
            {
                near.AtPoint = near.Box.IsWithin(place, GaussianEnergy.Reach * range) && energies.At(figures[near.Figure], point.X, point.Y) is > Negligible and var energy
                    ? (float)energy
                    : 0;
                sum += near.AtPoint;
            }

            return sum;
        }

        // Counts the point looked at last.
        public void Take(double weight)
        {
            foreach (ref (int, FigureBox, float AtPoint, double Sum) near in CollectionsMarshal.AsSpan(all))
            {
                near.Sum += weight * near.AtPoint;
            }
        }

        public void AddTo(ForwardMatrix.Builder rows)
        {
            foreach ((int figure, _, _, double sum) in all)
            {
                if (sum > 0)
                {
                    rows.Add(figure, (float)sum);
                }
            }
        }
    }
}
