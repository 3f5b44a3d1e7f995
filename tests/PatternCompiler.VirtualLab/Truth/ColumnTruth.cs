namespace PatternCompiler.VirtualLab.Truth;

/// <summary>The beam.</summary>
/// <param name="CurrentPicoamperes">At the start.</param>
/// <param name="LossPerSecond">Rate of an exponential decay of the current.</param>
/// <param name="SpotNanometres">Full width at half maximum, Gaussian.</param>
/// <param name="HumXNanometres">Amplitude of the hum along x.</param>
/// <param name="HumYNanometres">Amplitude along y.</param>
/// <param name="HumHertz">Its frequency.</param>
/// <param name="HumPhase">Its phase at time 0, in radians; that of y is a third of a turn later.</param>
/// <param name="DriftXNanometresPerSecond">Steady drift of the beam against the sample.</param>
/// <param name="DriftYNanometresPerSecond">Along y.</param>
public sealed record ColumnTruth(
    double CurrentPicoamperes,
    double LossPerSecond,
    double SpotNanometres,
    double HumXNanometres,
    double HumYNanometres,
    double HumHertz,
    double HumPhase,
    double DriftXNanometresPerSecond,
    double DriftYNanometresPerSecond)
{
    public bool IsSteady => HumXNanometres == 0 && HumYNanometres == 0 && DriftXNanometresPerSecond == 0 && DriftYNanometresPerSecond == 0;

    public double CurrentAt(double seconds) => LossPerSecond == 0 ? CurrentPicoamperes : CurrentPicoamperes * Math.Exp(-LossPerSecond * seconds);

    public (double X, double Y) ShiftAt(double seconds)
    {
        double angle = (2 * Math.PI * HumHertz * seconds) + HumPhase;
        return (
            (HumXNanometres * Math.Sin(angle)) + (DriftXNanometresPerSecond * seconds),
            (HumYNanometres * Math.Sin(angle + (2 * Math.PI / 3))) + (DriftYNanometresPerSecond * seconds));
    }

    internal static ColumnTruth Draw(LabSetup setup, Dice dice)
    {
        double hum = setup.Faults.HasFlag(LabFaults.Hum) ? 1 : 0;
        return new ColumnTruth(
            setup.CurrentPicoamperes * dice.Between(0.99, 1.01),
            dice.Between(0, 2e-5) * (setup.Faults.HasFlag(LabFaults.Decay) ? 1 : 0),
            setup.SpotNanometres * dice.Between(0.8, 1.4),
            hum * dice.Between(0, 6),
            hum * dice.Between(0, 6),
            50,
            dice.Between(0, 2 * Math.PI),
            hum * dice.Between(-0.05, 0.05),
            hum * dice.Between(-0.05, 0.05));
    }
}
