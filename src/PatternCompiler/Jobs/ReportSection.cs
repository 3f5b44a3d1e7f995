using PatternCompiler.Files;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section 'report' of a job file.</summary>
internal static class ReportSection
{
    /// <summary>A file name alone, or with the part that is shown closely.</summary>
    public static JobReport Read(YamlNode node, JobPaths paths)
    {
        if (node is YamlScalar)
        {
            return new JobReport(paths.Write(node, FileContent.Of("html")));
        }

        YamlMapping report = node.AsMapping();
        return new JobReport(paths.Write(report.Required("file"), FileContent.Of("html")))
        {
            Centre = report.Optional("centre") is YamlNode centre ? LengthPair.Read(centre) : null,
            WidthNanometres = report.Optional("width")?.AsPositive(Unit.Nanometre),
        };
    }
}
