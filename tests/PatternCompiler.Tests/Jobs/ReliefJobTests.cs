using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class ReliefJobTests
{
    [Theory]
    [InlineData(
        "layers: [{layer: a, height: 120 %}]",
        "job.yaml:2:29: error PC0115: 'layers[1].height' must be from 0 to 1, but it is 120 %; write the part of the film that is to remain, for example 40 %")]
    [InlineData(
        "layers: [{layer: a, values: heights, height: 0.5}]",
        "job.yaml:2:46: error PC0115: 'values' and 'height' exclude each other; keep one of them")]
    [InlineData(
        "layers: [{layer: a, values: thickness}]",
        "job.yaml:2:29: error PC0114: 'layers[1].values' must be one of 'dose factors', 'heights', 'depths', but it is 'thickness'")]
    [InlineData(
        "layers: [{layer: a, values: depths}]\nfracture: {dose_overlap: sum}",
        "job.yaml:3:26: error PC0115: 'dose_overlap: sum' adds doses, but layer 'a' holds heights; choose another rule; the highest dose leaves the lowest height of a positive resist")]
    public void What_heights_cannot_be_is_refused(string yaml, string error) =>
        Assert.Equal(error, Assert.Throws<CompileException>(() => JobFile.Parse($"job: a\n{yaml}\n", "job.yaml")).Diagnostic.ToString().Split('\n')[0]);
}
