namespace PatternCompiler.Instrument;

/// <summary>
/// The sample stage, which brings one write field after another under the beam. What it reads and what of the pattern is then under the
/// undeflected beam, along the axes of the beam's field: <c>place = Frame · D · (reading − origin)</c>, where D turns the sign of inverted
/// axes. Readings are those that a move from the side of <see cref="ApproachNanometres"/> ends at.
/// </summary>
/// <param name="SpeedNanometresPerSecond">Speed of a move; both axes move together. Infinite where only <paramref name="SettleSeconds"/> counts.</param>
/// <param name="SettleSeconds">Wait after a move, or the whole time that a move by hand takes.</param>
public sealed record Stage(double SpeedNanometresPerSecond, double SettleSeconds)
{
    // Sums and products of lengths in nanometres are exact to far less than a picometre.
    private const double ArithmeticNanometres = 1e-3;

    private const double LargestWhole = 1L << 52;

    /// <summary>The stage stands at whole multiples of this; 0 for anywhere.</summary>
    public double StepNanometres { get; init; }

    /// <summary>Reading of the stage when the pattern's origin is under the undeflected beam.</summary>
    public (double X, double Y) OriginNanometres { get; init; }

    /// <summary>The reading falls towards larger x of the pattern.</summary>
    public bool InvertX { get; init; }

    /// <summary>The reading falls towards larger y of the pattern.</summary>
    public bool InvertY { get; init; }

    /// <summary>
    /// The stage's axes in the beam's field: rotation of its x axis, counter-clockwise, how far its y axis leans, and what a unit of its
    /// readings is on the sample; its offset is 0. Null where the axes are the same.
    /// </summary>
    public LayerPlacement? Frame { get; init; }

    /// <summary>What a move to smaller readings stays short of: the place is then that of a reading so much larger.</summary>
    public (double X, double Y) BacklashNanometres { get; init; }

    /// <summary>Every move ends by coming over this much of each reading, from smaller ones where above zero; null for the straight way.</summary>
    public (double X, double Y)? ApproachNanometres { get; init; }

    /// <summary>How the field grows with the height of the sample; null where it is not known.</summary>
    public FieldHeight? Height { get; init; }

    /// <summary>Smallest and largest reading in x, or null for no limit.</summary>
    public (double Lowest, double Highest)? RangeXNanometres { get; init; }

    /// <summary>Smallest and largest reading in y, or null for no limit.</summary>
    public (double Lowest, double Highest)? RangeYNanometres { get; init; }

    /// <summary>The deflection has to make up for what the stage cannot stand at: its axes or its origin are no whole steps of the pattern.</summary>
    internal bool LeavesRemainders => StepNanometres > 0 && (Frame is not null || !IsStep(OriginNanometres.X) || !IsStep(OriginNanometres.Y));

    internal SettingLine Line => new(
        "stage",
        [
            StepNanometres, OriginNanometres.X, OriginNanometres.Y, SettingLine.Truth(InvertX), SettingLine.Truth(InvertY), .. Frame?.Numbers ?? [],
        ]);

    /// <summary>The reading that brings a place of the pattern under the undeflected beam, were there no steps.</summary>
    public (double X, double Y) ReadingAt(double xNanometres, double yNanometres)
    {
        (double x, double y) = Frame?.Drawn(xNanometres, yNanometres) ?? (xNanometres, yNanometres);
        return (OriginNanometres.X + (InvertX ? -x : x), OriginNanometres.Y + (InvertY ? -y : y));
    }

    /// <summary>The place of the pattern that a reading brings under the undeflected beam.</summary>
    public (double X, double Y) PlaceAt(double readingX, double readingY)
    {
        (double x, double y) = (readingX - OriginNanometres.X, readingY - OriginNanometres.Y);
        (x, y) = (InvertX ? -x : x, InvertY ? -y : y);
        return Frame?.Land(x, y) ?? (x, y);
    }

    /// <summary>Where the stage stands to write a place of the pattern: the nearest reading that it can stand at.</summary>
    public StageStop StopAt(double xNanometres, double yNanometres)
    {
        (double x, double y) = ReadingAt(xNanometres, yNanometres);
        if (IsStep(x) && IsStep(y))
        {
            return new StageStop((x, y), (xNanometres, yNanometres));
        }

        (double X, double Y) reading = (Stepped(x), Stepped(y));
        return new StageStop(reading, PlaceAt(reading.X, reading.Y));
    }

    /// <summary>True if the stage can go to a reading.</summary>
    public bool Reaches((double X, double Y) reading) => IsWithin(reading.X, RangeXNanometres) && IsWithin(reading.Y, RangeYNanometres);

    /// <summary>Time of a move, settling included; 0 if there is nothing to move.</summary>
    public double MoveSeconds(double alongXNanometres, double alongYNanometres)
    {
        double distance = Math.Max(Math.Abs(alongXNanometres), Math.Abs(alongYNanometres));
        return distance == 0 ? 0 : (distance / SpeedNanometresPerSecond) + SettleSeconds;
    }

    /// <summary>Time of a move from one reading to another, with the way round that <see cref="ApproachNanometres"/> asks for.</summary>
    public double MoveSeconds((double X, double Y) from, (double X, double Y) to)
    {
        if (ApproachNanometres is not (double x, double y))
        {
            return MoveSeconds(to.X - from.X, to.Y - from.Y);
        }

        double first = Math.Max(Math.Abs(to.X - x - from.X), Math.Abs(to.Y - y - from.Y));
        return ((first + Math.Max(Math.Abs(x), Math.Abs(y))) / SpeedNanometresPerSecond) + SettleSeconds;
    }

    private bool IsStep(double reading) => Math.Abs(Stepped(reading) - reading) <= ArithmeticNanometres;

    private double Stepped(double reading)
    {
        double steps = reading / StepNanometres;
        return StepNanometres > 0 && Math.Abs(steps) < LargestWhole ? Math.Round(steps, MidpointRounding.AwayFromZero) * StepNanometres : reading;
    }

    private static bool IsWithin(double reading, (double Lowest, double Highest)? range) =>
        range is not (double lowest, double highest) || (reading >= lowest && reading <= highest);
}

/// <summary>A reading, and the place of the pattern that is then under the undeflected beam, along the beam's axes.</summary>
public readonly record struct StageStop((double X, double Y) Reading, (double X, double Y) Place);

/// <summary>
/// How the width of the field follows the working distance: it is <c>1 + ScalePerNanometre · (focus − FocusNanometres)</c> times that of the
/// machine file where the sample is in focus at another reading of the working distance.
/// </summary>
/// <param name="FocusNanometres">Reading of the working distance for which the field was calibrated.</param>
/// <param name="ScalePerNanometre">Part by which the field grows.</param>
public sealed record FieldHeight(double FocusNanometres, double ScalePerNanometre)
{
    // Beyond this nobody writes: the field is calibrated anew.
    private const double LeastScale = 0.5;
    private const double LargestScale = 2;

    /// <summary>Scale of the field where the sample is in focus at a reading; null where that is beyond all use.</summary>
    public double? ScaleAt(double focusNanometres) =>
        1 + (ScalePerNanometre * (focusNanometres - FocusNanometres)) is >= LeastScale and <= LargestScale and double scale ? scale : null;
}
