namespace PatternCompiler.Instrument;

/// <summary>
/// How a beam widens on its way through a resist: an effective diameter of 0.9·(t/V)^1.5 nm, t the thickness in nm and V the beam
/// energy in kV (M. A. McCord and M. J. Rooks, SPIE Handbook of Microlithography, Micromachining and Microfabrication, vol. 1
/// (1997), ch. 2; from memory). The source does not say at which height that diameter is taken. Here the 1/e radius α is given its
/// value: for 0.5 µm that gives 112, 61, 28 and 10 nm at 20, 30, 50 and 100 keV, where the ranges of the same chapter are 120, 59
/// (interpolated), 24 and 7 nm. A full width at half maximum would make α 0.6 of it, 67 nm at 20 keV, which does not suit them.
/// Good to a factor of 1.5.
/// </summary>
internal static class ForwardScattering
{
    private const double Factor = 0.9;
    private const double Power = 1.5;
    private const double ElectronvoltsPerKiloelectronvolt = 1000;

    /// <summary>1/e radius of the forward term, without the spot.</summary>
    /// <param name="thicknessNanometres">Of the resist.</param>
    /// <param name="energyElectronvolts">Of the beam.</param>
    public static double RangeNanometres(double thicknessNanometres, double energyElectronvolts) =>
        Factor * Math.Pow(thicknessNanometres * ElectronvoltsPerKiloelectronvolt / energyElectronvolts, Power);
}
