using System.Collections.Immutable;
using PatternCompiler.VirtualLab.Truth;
using PatternCompiler.VirtualLab.Writer;

namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>A sample that has been written on, by one beam or by several one after the other.</summary>
public sealed class Sample
{
    private const double UsualStepNanometres = 8;

    private readonly ResistTruth resist;
    private readonly ImmutableArray<(Deposits Deposits, double SpotNanometres)> written;

    public Sample(LabTruth truth, Deposits deposits)
        : this(truth.Resist, [(deposits, truth.Column.SpotNanometres)])
    {
    }

    private Sample(ResistTruth resist, ImmutableArray<(Deposits Deposits, double SpotNanometres)> written) => (this.resist, this.written) = (resist, written);

    /// <summary>Charge of the beam that wrote first.</summary>
    public Deposits Deposits => written[0].Deposits;

    /// <summary>The same with what another beam has written on it.</summary>
    public Sample With(Sample other) => new(resist, [.. written, .. other.written]);

    /// <summary>Develops, and looks at a part.</summary>
    public DevelopedFilm Develop(SampleWindow window, double stepNanometres = UsualStepNanometres)
    {
        SampleGrid energy = EnergyOf(written[0], window, stepNanometres);
        foreach ((Deposits Deposits, double SpotNanometres) beam in written.Skip(1))
        {
            energy.Add(EnergyOf(beam, window, stepNanometres));
        }

        return new DevelopedFilm(energy, resist);
    }

    private SampleGrid EnergyOf((Deposits Deposits, double SpotNanometres) beam, SampleWindow window, double stepNanometres) =>
        AbsorbedEnergy.In(beam.Deposits, resist.Spread, beam.SpotNanometres, window, stepNanometres);
}
