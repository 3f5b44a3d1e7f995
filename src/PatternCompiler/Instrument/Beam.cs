namespace PatternCompiler.Instrument;

/// <summary>The beam as measured on the sample.</summary>
/// <param name="CurrentAmperes">Beam current.</param>
/// <param name="SpotNanometres">Spot size, full width at half maximum.</param>
/// <param name="EnergyElectronvolts">Beam energy.</param>
public sealed record Beam(double CurrentAmperes, double SpotNanometres, double EnergyElectronvolts)
{
    /// <summary>A second reading; between the two the current is taken to change evenly, and to stay after the second.</summary>
    public CurrentReading? Later { get; init; }

    // The energy changes no record.
    internal IEnumerable<SettingLine> Lines =>
    [
        new("beam", CurrentAmperes, SpotNanometres),
        new("later current", Later is { } later ? [later.Seconds, later.Amperes] : []),
    ];

    /// <summary>Current at a time since the start of writing.</summary>
    public double CurrentAt(double seconds) => Later is null
        ? CurrentAmperes
        : CurrentAmperes + (Later.Amperes - CurrentAmperes) * Math.Clamp(seconds / Later.Seconds, 0, 1);

    /// <summary>Charge that the beam brings between two times since the start of writing.</summary>
    public double ChargeCoulombs(double fromSeconds, double toSeconds)
    {
        if (Later is null)
        {
            return CurrentAmperes * (toSeconds - fromSeconds);
        }

        double change = Math.Clamp(Later.Seconds, fromSeconds, toSeconds);
        return (CurrentAt(fromSeconds) + CurrentAt(change)) / 2 * (change - fromSeconds) + Later.Amperes * (toSeconds - change);
    }

    /// <summary>How long the beam takes, from a time since the start of writing on, to bring a charge.</summary>
    public double SecondsFor(double chargeCoulombs, double fromSeconds)
    {
        double current = CurrentAt(fromSeconds);
        if (Later is null || fromSeconds >= Later.Seconds)
        {
            return chargeCoulombs / current;
        }

        double untilLater = ChargeCoulombs(fromSeconds, Later.Seconds);
        if (chargeCoulombs > untilLater)
        {
            return Later.Seconds - fromSeconds + (chargeCoulombs - untilLater) / Later.Amperes;
        }

        // The current changes evenly: current·t + change·t²/2 = charge, solved without a difference of near values.
        double change = (Later.Amperes - CurrentAmperes) / Later.Seconds;
        return 2 * chargeCoulombs / (current + Math.Sqrt(current * current + 2 * change * chargeCoulombs));
    }
}

/// <summary>A later reading of the beam current.</summary>
/// <param name="Seconds">Time since the start of writing, above zero.</param>
/// <param name="Amperes">Beam current.</param>
public sealed record CurrentReading(double Seconds, double Amperes);
