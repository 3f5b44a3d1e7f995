using System.Collections.Immutable;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Tests.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Jobs;

/// <summary>
/// By hand: a layer at 1.25 times 5 C/m², 3e-7 C/m and 2e-15 C where the job has 2.5, 1e-7 and 1e-15; 3 codes of the coarser 2 nm by 5 nm are 30 nm²,
/// which twice 50 aC expose to 1.333 times the base dose.
/// </summary>
public sealed class CorrectionLayersTests
{
    private static readonly FillOptions Options = FillCase.Options with { SmallestPointChargeCoulombs = 5e-17 };

    private static readonly LayerFill Own = Options.AllLayers with
    {
        LinePitch = Spacing.FromCodes(3),
        PointStep = Spacing.FromNanometres(5),
        Passes = 2,
        DoseFactor = DoseFactor.FromValue(1.25),
        AreaDoseCoulombsPerSquareMetre = 5,
        LineDoseCoulombsPerMetre = 3e-7,
        DotChargeCoulombs = 2e-15,
    };

    [Theory]
    [InlineData(65_536, 131_072)]
    [InlineData(131_072, 65_536)]
    public void A_layer_counts_in_base_doses(double width, double height)
    {
        Machine machine = DefaultFiles.Machine with
        {
            Dac = DefaultFiles.Machine.Dac with { Bits = 16 },
            Deflection = DefaultFiles.Machine.Deflection with { FieldWidthNanometres = width, FieldHeightNanometres = height },
        };
        LayerDose dose = CorrectionLayers.Of(Own, Options, machine);
        Assert.Equal([2.5, 3.75, 2.5, 4 / 3.0], [dose.Area, dose.Line, dose.Dot, dose.SmallestArea], (a, b) => Math.Abs(a - b) < 1e-9);
        Assert.Equal(0, CorrectionLayers.Of(Own with { LinePitch = Spacing.Automatic }, Options, machine).SmallestArea);
        Assert.Equal(0, CorrectionLayers.Of(Own with { PointStep = Spacing.Automatic }, Options, machine).SmallestArea);
        LayerDose plain = CorrectionLayers.Of(Options.AllLayers, Options, machine);
        Assert.Equal([1, 1, 1, 0.2], [plain.Area, plain.Line, plain.Dot, plain.SmallestArea], (a, b) => Math.Abs(a - b) < 1e-9);
        ImmutableDictionary<string, LayerDose> all = CorrectionLayers.ByLayer(Options with { ByLayer = ImmutableDictionary<string, LayerFill>.Empty.Add("own", Own).Add("plain", Options.AllLayers) }, machine);
        Assert.Equal((2, dose, plain), (all.Count, all["own"], all["plain"]));
    }
}
