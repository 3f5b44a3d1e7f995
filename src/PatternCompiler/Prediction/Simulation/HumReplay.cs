using PatternCompiler.Instrument;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Moves the beam of a replay by the hum of the mains, and adds up how far the charge was moved.</summary>
/// <param name="hum">The hum, or null for none.</param>
/// <param name="startSeconds">Time of the start of writing after an edge of the trigger, where the hum has its time 0.</param>
internal sealed class HumReplay(Hum? hum, double startSeconds)
{
    // A part of a dwell moves the beam by less than this in degrees of the fastest wave.
    private const double FinestTurn = 5;
    private readonly double longestSeconds = hum is null
        ? double.PositiveInfinity
        : FinestTurn / 360 / (hum.Hertz * Math.Max(1, Math.Max(hum.X.Length, hum.Y.Length)));

    private double charge;
    private double sumX;
    private double sumY;
    private double squaresX;
    private double squaresY;
    private double most;

    /// <summary>The hum of a machine.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="startDegrees">Phase of the mains when writing starts.</param>
    public static HumReplay Of(Machine machine, double startDegrees = 0) =>
        machine.Hum is { } hum ? new(hum, startDegrees / 360 / hum.Hertz) : Without(machine);

    /// <summary>As if the machine had none; writing starts halfway between two edges of its trigger.</summary>
    public static HumReplay Without(Machine machine) => new(null, (machine.Trigger?.PeriodSeconds ?? 0) / 2);

    /// <summary>The same hum, nothing added up yet.</summary>
    public HumReplay Copy() => new(hum, startSeconds);

    /// <summary>Time of the start of writing after an edge of the trigger.</summary>
    public double StartSeconds => startSeconds;

    /// <summary>True if the hum moves the beam on the way through a time so long.</summary>
    public bool Moves(double seconds) => seconds > longestSeconds;

    /// <summary>Where the hum moves some charge, in nanometres.</summary>
    /// <param name="seconds">Since the start of writing.</param>
    /// <param name="coulombs">The charge.</param>
    public (double X, double Y) At(double seconds, double coulombs)
    {
        if (hum is null)
        {
            return (0, 0);
        }

        (double x, double y) = hum.At(seconds + startSeconds);
        charge += coulombs;
        sumX += x * coulombs;
        sumY += y * coulombs;
        squaresX += x * x * coulombs;
        squaresY += y * y * coulombs;
        most = Math.Max(most, Math.Max(Math.Abs(x), Math.Abs(y)));
        return (x, y);
    }

    /// <summary>How far the charge was moved altogether.</summary>
    public HumShift ToShift() => charge == 0 ? default : new(
        sumX / charge,
        sumY / charge,
        Math.Sqrt(Math.Max(0, squaresX / charge - sumX / charge * (sumX / charge))),
        Math.Sqrt(Math.Max(0, squaresY / charge - sumY / charge * (sumY / charge))),
        most);
}

/// <summary>What the hum does to the charge of an exposure.</summary>
/// <param name="MeanXNanometres">All of it is moved so far along x …</param>
/// <param name="MeanYNanometres">… and along y.</param>
/// <param name="DeviationXNanometres">Standard deviation about that: what widens lines and roughens edges.</param>
/// <param name="DeviationYNanometres">Along y.</param>
/// <param name="MostNanometres">The largest move on either axis.</param>
internal readonly record struct HumShift(
    double MeanXNanometres, double MeanYNanometres, double DeviationXNanometres, double DeviationYNanometres, double MostNanometres);
