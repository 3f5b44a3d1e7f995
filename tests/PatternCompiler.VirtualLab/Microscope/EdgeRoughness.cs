namespace PatternCompiler.VirtualLab.Microscope;

/// <summary>
/// By how much edges lie outside of where they would, from place to place: a Gaussian random field of given standard deviation whose
/// autocorrelation at a distance r is σ²·exp(−r²/ξ²), the power spectrum thus σ²·ξ·√π·exp(−π²·ξ²·f²) along any straight edge. It is a sum
/// of plane waves whose wave vectors are normally distributed with variance 2/ξ² along each axis: the mean of cos(k·r) is exp(−r²/ξ²).
/// </summary>
public sealed class EdgeRoughness
{
    private const int Waves = 200;
    private readonly (double X, double Y, double Phase)[] waves;
    private readonly double amplitude;

    public EdgeRoughness(Dice dice, double deviationNanometres, double correlationNanometres)
    {
        DeviationNanometres = deviationNanometres;
        CorrelationNanometres = correlationNanometres;
        double deviation = Math.Sqrt(2) / correlationNanometres;
        waves = [.. Enumerable.Range(0, Waves).Select(_ => (dice.Normal(0, deviation), dice.Normal(0, deviation), dice.Between(0, 2 * Math.PI)))];
        amplitude = deviationNanometres * Math.Sqrt(2.0 / Waves);
    }

    public double DeviationNanometres { get; }

    public double CorrelationNanometres { get; }

    public double At(double x, double y)
    {
        double sum = 0;
        foreach ((double kx, double ky, double phase) in waves)
        {
            sum += Math.Cos((kx * x) + (ky * y) + phase);
        }

        return amplitude * sum;
    }
}
