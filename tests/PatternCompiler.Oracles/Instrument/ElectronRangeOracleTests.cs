using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Instrument;

public class ElectronRangeOracleTests
{
    // K. Kanaya and S. Okayama, J. Phys. D: Appl. Phys. 5, 43 (1972); rounded values for Al, Cu and Au as tabulated in
    // Goldstein et al., Scanning Electron Microscopy and X-ray Microanalysis (from memory): 5, 10, 20, 30 keV in µm.
    [Theory]
    [InlineData(26.982, 13, 2.70, 0.41, 1.32, 4.2, 8.3)]
    [InlineData(63.546, 29, 8.96, 0.15, 0.46, 1.5, 2.9)]
    [InlineData(196.97, 79, 19.3, 0.085, 0.27, 0.86, 1.7)]
    public void Ranges_agree_with_the_handbook_to_its_two_digits(double weight, double number, double density, params double[] micrometres)
    {
        double[] energies = [5, 10, 20, 30];
        for (int i = 0; i < energies.Length; i++)
        {
            double range = ElectronRange.Nanometres(energies[i], weight, number, density) / 1000;
            Assert.InRange(range / micrometres[i], 0.95, 1.05);
        }
    }
}
