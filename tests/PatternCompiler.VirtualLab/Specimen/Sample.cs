using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>A sample that has been written on.</summary>
public sealed class Sample(LabTruth truth, Deposits deposits)
{
    private const double UsualStepNanometres = 8;

    public Deposits Deposits => deposits;

    /// <summary>Develops, and looks at a part.</summary>
    public DevelopedFilm Develop(SampleWindow window, double stepNanometres = UsualStepNanometres) => new(
        AbsorbedEnergy.In(deposits, truth.Resist.Spread, truth.Column.SpotNanometres, window, stepNanometres), truth.Resist);
}
