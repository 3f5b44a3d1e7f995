using System.Runtime.InteropServices;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Forward energy at every control point from every figure near it, per unit of that figure's dose: a sparse matrix that
/// does not change while the doses do.
/// </summary>
internal sealed class ForwardCoupling
{
    private const double Negligible = 1e-6;
    private const int Chunk = 4096;

    // Only near an inner corner, or beside a narrow gap, is the energy at an edge above the half of a straight one.
    private const float AboveStraightEdge = 0.51f;
    private const double CornerReachInRanges = 1.5;

    private readonly int[] starts;
    private readonly int[] sources;
    private readonly float[] factors;

    private ForwardCoupling(int[] starts, int[] sources, float[] factors)
    {
        this.starts = starts;
        this.sources = sources;
        this.factors = factors;
    }

    /// <summary>Computes the matrix.</summary>
    /// <param name="owner">Figure that each point belongs to.</param>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    public static ForwardCoupling Compute(
        IReadOnlyList<Figure> figures,
        FigureBox[] boxes,
        FigureIndex index,
        List<ControlPoint> points,
        int[] owner,
        double range,
        (double Line, double Dot) chargeOf,
        CancellationToken cancellation)
    {
        int chunks = (points.Count + Chunk - 1) / Chunk;
        var parts = new (List<int> Sources, List<float> Factors)[chunks];
        var counts = new int[points.Count];
        Parallel.For(0, chunks, new ParallelOptions { CancellationToken = cancellation }, chunk =>
        {
            var found = new List<int>();
            var energies = new List<float>();
            for (int p = chunk * Chunk; p < Math.Min(points.Count, (chunk + 1) * Chunk); p++)
            {
                int before = found.Count;
                Gather(figures, boxes, index, points[p], owner[p], range, chargeOf, found, energies);
                counts[p] = found.Count - before;
            }

            parts[chunk] = (found, energies);
        });

        var starts = new int[points.Count + 1];
        for (int p = 0; p < counts.Length; p++)
        {
            starts[p + 1] = starts[p] + counts[p];
        }

        return new ForwardCoupling(starts, [.. parts.SelectMany(p => p.Sources)], [.. parts.SelectMany(p => p.Factors)]);
    }

    /// <summary>Forward energy at a control point for one dose per figure.</summary>
    public double At(int point, double[] doses)
    {
        double sum = 0;
        for (int k = starts[point]; k < starts[point + 1]; k++)
        {
            sum += factors[k] * doses[sources[k]];
        }

        return sum;
    }

    /// <summary>Part of it that one figure makes at dose 1.</summary>
    public double From(int point, int figure)
    {
        for (int k = starts[point]; k < starts[point + 1]; k++)
        {
            if (sources[k] == figure)
            {
                return factors[k];
            }
        }

        return 0;
    }

    /// <summary>
    /// For every figure the mean of some value over all control points, weighted by the part of the figure's forward
    /// energy that reaches them and by the points' lengths.
    /// </summary>
    public void Distribute(double[] valueOfPoint, ControlPoint[] points, double[] sums, double[] weights)
    {
        Array.Clear(sums);
        Array.Clear(weights);
        for (int p = 0; p < points.Length; p++)
        {
            for (int k = starts[p]; k < starts[p + 1]; k++)
            {
                double weight = factors[k] * points[p].Length;
                sums[sources[k]] += weight * valueOfPoint[p];
                weights[sources[k]] += weight;
            }
        }
    }

    private static void Gather(
        IReadOnlyList<Figure> figures,
        FigureBox[] boxes,
        FigureIndex index,
        ControlPoint point,
        int owner,
        double range,
        (double Line, double Dot) chargeOf,
        List<int> found,
        List<float> energies)
    {
        if (point.OwnForward > 0)
        {
            AddOwn(point.OwnForward);
            return;
        }

        int before = found.Count;
        foreach (int figure in index.Near(point.X, point.Y))
        {
            if (!boxes[figure].IsWithin(point.X, point.Y, GaussianEnergy.Reach * range))
            {
                continue;
            }

            double energy = Energy(figures[figure], point, range, chargeOf);
            if (energy > Negligible)
            {
                found.Add(figure);
                energies.Add((float)energy);
            }
        }

        if ((point.NormalX != 0 || point.NormalY != 0) && Sum(CollectionsMarshal.AsSpan(energies)[before..]) > AboveStraightEdge
            && ControlPoints.IsNearInnerCorner(figures, boxes, index, owner, point, CornerReachInRanges * range))
        {
            found.RemoveRange(before, found.Count - before);
            energies.RemoveRange(before, energies.Count - before);
            AddOwn(ControlPoint.Edge);
        }

        // Held to its own figure alone.
        void AddOwn(float part)
        {
            found.Add(owner);
            energies.Add(part);
        }
    }

    private static double Sum(ReadOnlySpan<float> energies)
    {
        double sum = 0;
        foreach (float energy in energies)
        {
            sum += energy;
        }

        return sum;
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
