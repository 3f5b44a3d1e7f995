using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class ProcessFileTests
{
    [Fact]
    public void Built_in_process_is_a_positive_resist_at_30_kV() => Assert.Equal(
        new Resist("positive PMMA on silicon, 30 kV", 3, 1.5e-7, 20e-15, 1), DefaultFiles.Process);

    [Fact]
    public void Onset_lies_below_the_area_dose()
    {
        string yaml = DefaultFiles.ProcessText.Replace("onset: 100 uC/cm2", "onset: 400 uC/cm2", StringComparison.Ordinal);
        Assert.StartsWith(
            "p.yaml:10:10: error PC0115: 'dose.onset' is 400 uC/cm2, above the area dose of 300 uC/cm2; the onset is the dose at which the resist starts to react, below the dose that clears it",
            Assert.Throws<CompileException>(() => ProcessFile.Parse(yaml, "p.yaml")).Message,
            StringComparison.Ordinal);
    }
}
