namespace PatternCompiler.Instrument;

/// <summary>The sample stage, which brings one write field after another under the beam.</summary>
/// <param name="SpeedNanometresPerSecond">Speed of a move; both axes move together. Infinite where only <paramref name="SettleSeconds"/> counts.</param>
/// <param name="SettleSeconds">Wait after a move, or the whole time that a move by hand takes.</param>
public sealed record Stage(double SpeedNanometresPerSecond, double SettleSeconds)
{
    /// <summary>The stage stands at whole multiples of this; 0 for anywhere.</summary>
    public double StepNanometres { get; init; }

    /// <summary>Reading of the stage when the pattern's origin is under the undeflected beam.</summary>
    public (double X, double Y) OriginNanometres { get; init; }

    /// <summary>The reading falls towards larger x of the pattern.</summary>
    public bool InvertX { get; init; }

    /// <summary>The reading falls towards larger y of the pattern.</summary>
    public bool InvertY { get; init; }

    /// <summary>Smallest and largest reading in x, or null for no limit.</summary>
    public (double Lowest, double Highest)? RangeXNanometres { get; init; }

    /// <summary>Smallest and largest reading in y, or null for no limit.</summary>
    public (double Lowest, double Highest)? RangeYNanometres { get; init; }

    /// <summary>The reading that brings a place of the pattern under the undeflected beam.</summary>
    public (double X, double Y) ReadingAt(double xNanometres, double yNanometres) => (
        OriginNanometres.X + (InvertX ? -xNanometres : xNanometres),
        OriginNanometres.Y + (InvertY ? -yNanometres : yNanometres));

    /// <summary>True if the stage can go to a reading.</summary>
    public bool Reaches((double X, double Y) reading) => IsWithin(reading.X, RangeXNanometres) && IsWithin(reading.Y, RangeYNanometres);

    /// <summary>Time of a move, settling included; 0 if there is nothing to move.</summary>
    public double MoveSeconds(double alongXNanometres, double alongYNanometres)
    {
        double distance = Math.Max(Math.Abs(alongXNanometres), Math.Abs(alongYNanometres));
        return distance == 0 ? 0 : (distance / SpeedNanometresPerSecond) + SettleSeconds;
    }

    private static bool IsWithin(double reading, (double Lowest, double Highest)? range) =>
        range is not (double lowest, double highest) || (reading >= lowest && reading <= highest);
}
