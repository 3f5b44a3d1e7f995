using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Proximity;

/// <summary>
/// Forward energies of figures at points. The same figure at the same distance gives the same number, bit by bit, wherever both lie:
/// numbers are kept for a while, and cells that are placed many times are computed once. Not for several threads at a time.
/// </summary>
internal sealed class RecurringEnergies
{
    private const int Room = 1 << 11;

    // Of a grid step: closer than this points are the same.
    private const double Fraction = 1.0 / 65536;

    private readonly double range;
    private readonly (double Line, double Dot) chargeOf;
    private readonly (Figure Figure, double X, double Y, double Energy)[] kept = new (Figure, double, double, double)[Room];

    /// <summary>Of nothing yet.</summary>
    /// <param name="range">1/e radius of the forward Gaussian, in grid steps.</param>
    /// <param name="chargeOf">Charge of a line per grid step and of a dot, as area of dose 1 in square grid steps.</param>
    public RecurringEnergies(double range, (double Line, double Dot) chargeOf) => (this.range, this.chargeOf) = (range, chargeOf);

    /// <summary>Forward energy of one figure of dose 1 at a place.</summary>
    public double At(in Figure figure, double x, double y)
    {
        // Differences of grid points, of the drawing's from within it, fit an int.
        (double left, double below) = (Math.Floor(x), Math.Floor(y));
        (int dx, int dy) = ((int)left, (int)below);
        (double restX, double restY) = (Math.Round((x - left) / Fraction) * Fraction, Math.Round((y - below) / Fraction) * Fraction);
        Trapezoid shape = figure.Shape;
        (int across, int along) = figure.IsTransposed ? (dy, dx) : (dx, dy);
        var moved = new Figure(
            figure.Kind,
            0,
            DoseFactor.One,
            figure.IsTransposed,
            figure.Kind == FigureKind.Trapezoid
                ? new Trapezoid(shape.YBottom - along, shape.YTop - along, Moved(shape.Left, across, along), Moved(shape.Right, across, along))
                : new Trapezoid(0, 0, Moved(shape.Left, across, along), default));
        ref (Figure Figure, double X, double Y, double Energy) place = ref kept[Hash(moved.Shape, restX, restY)];
        if (place.Figure != moved || place.X != restX || place.Y != restY)
        {
            place = (moved, restX, restY, ForwardCoupling.Energy(moved, new ControlPoint(restX, restY, 1, 0), range, chargeOf));
        }

        return place.Energy;
    }

    private static GridEdge Moved(in GridEdge edge, int dx, int dy) =>
        new(new GridPoint(edge.Lower.X - dx, edge.Lower.Y - dy), new GridPoint(edge.Upper.X - dx, edge.Upper.Y - dy));

    private static int Hash(in Trapezoid shape, double restX, double restY)
    {
        unchecked
        {
            uint hash = (uint)shape.YBottom * 0x9E3779B1 + (uint)shape.YTop;
            hash = (hash ^ hash >> 15) * 0x85EBCA77 + (uint)shape.Left.Lower.X * 0xC2B2AE3D + (uint)shape.Left.Upper.X;
            hash = (hash ^ hash >> 15) * 0x85EBCA77 + (uint)shape.Right.Lower.X * 0xC2B2AE3D + (uint)shape.Right.Upper.X;
            hash = (hash ^ hash >> 15) * 0x85EBCA77 + (uint)(restX / Fraction) * 0xC2B2AE3D + (uint)(restY / Fraction);
            hash = (hash ^ hash >> 15) * 0x85EBCA77;
            return (int)(hash >> 16) & (Room - 1);
        }
    }
}
