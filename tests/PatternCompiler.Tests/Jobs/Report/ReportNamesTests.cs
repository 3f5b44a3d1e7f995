using PatternCompiler.Jobs.Report;

namespace PatternCompiler.Tests.Jobs.Report;

public sealed class ReportNamesTests
{
    /// <summary>Names are those from the job's folder; what lies elsewhere has its name alone.</summary>
    [Theory]
    [InlineData("/lab/chip/job.yaml", "/lab/chip/a.dxf", "a.dxf")]
    [InlineData("/lab/chip/job.yaml", "/lab/chip/out/a.stream", "out/a.stream")]
    [InlineData("/lab/chip/job.yaml", "/lab/chips/a.dxf", "a.dxf")]
    [InlineData("/lab/chip/job.yaml", "/lab/a.dxf", "a.dxf")]
    [InlineData("/lab/chip/job.yaml", "b/a.dxf", "b/a.dxf")]
    [InlineData("chip/job.yaml", "chip/b/a.dxf", "b/a.dxf")]
    [InlineData("job.yaml", "b/a.dxf", "b/a.dxf")]
    [InlineData(null, "b/a.dxf", "b/a.dxf")]
    [InlineData(null, "/lab/a.dxf", "a.dxf")]
    [InlineData("/lab/chip/job.yaml", "-", "standard stream")]
    [InlineData(null, "b\\a.dxf", "b/a.dxf")]
    public void Names_do_not_depend_on_where_the_project_lies(string? job, string path, string name) => Assert.Equal(name, new ReportNames(job).Of(path));
}
