using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>
/// Standard atomic weights (IUPAC, 2021) and densities at room temperature (CRC Handbook of Chemistry and Physics), both from memory;
/// of compounds weight and number are means by mass.
/// </summary>
public sealed class SubstrateTests
{
    [Theory]
    [InlineData("silicon", 2.33, 28.085, 14, 1, 0, 0, 0)]
    [InlineData("fused silica", 2.20, 28.085, 14, 1, 15.999, 8, 2)]
    [InlineData("gallium arsenide", 5.32, 69.723, 31, 1, 74.922, 33, 1)]
    [InlineData("germanium", 5.32, 72.630, 32, 1, 0, 0, 0)]
    [InlineData("aluminium", 2.70, 26.982, 13, 1, 0, 0, 0)]
    [InlineData("copper", 8.96, 63.546, 29, 1, 0, 0, 0)]
    [InlineData("gold", 19.3, 196.967, 79, 1, 0, 0, 0)]
    public void Materials_are_those_of_the_handbooks(string name, double density, double weight, int number, int atoms, double otherWeight, int otherNumber, int otherAtoms)
    {
        Substrate known = Assert.Single(Substrate.Known, substrate => substrate.Name == name);
        (double mass, double otherMass) = (weight * atoms, otherWeight * otherAtoms);
        Assert.Equal(density, known.DensityGramsPerCubicCentimetre, 0.02);
        Assert.Equal(((weight * mass) + (otherWeight * otherMass)) / (mass + otherMass), known.AtomicWeight, 0.01);
        Assert.Equal(((number * mass) + (otherNumber * otherMass)) / (mass + otherMass), known.AtomicNumber, 0.01);
    }
}
