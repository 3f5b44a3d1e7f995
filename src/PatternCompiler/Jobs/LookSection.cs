using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file about looks at marks of the layer below.</summary>
internal static class LookSection
{
    private const int FewestPoints = 32;
    private const int MostPoints = 4096;
    private const int MostLooks = 1000;

    // A table of samples holds no more lines.
    private const long MostSamples = 1_000_000;

    /// <summary>Reads it.</summary>
    public static LookSettings Read(YamlNode node, JobPaths paths)
    {
        YamlMapping looks = node.AsMapping();
        YamlNode at = looks.Required("at");
        ImmutableArray<LookMark> marks = [.. at.AsMapping().Any().Select(entry =>
        {
            (double x, double y) = LengthPair.Read(entry.Value);
            return new LookMark(entry.Key, x, y);
        })];
        var settings = new LookSettings(
            [.. looks.Required("below").AsList().Select(source => SourceSection.Read(source, paths))],
            looks.Required("marks").AsText(),
            marks,
            looks.Required("window").AsPositive(Unit.Nanometre),
            looks.Required("step").AsPositive(Unit.Nanometre),
            looks.Required("dwell").AsPositive(Unit.Second),
            looks.Required("within").AsPositive(Unit.Nanometre),
            (int)(looks.Optional("looks")?.AsInteger(1, MostLooks) ?? 1));
        if (marks.IsEmpty)
        {
            throw at.Error(JobCodes.MissingKey, "'looks.at' names no mark", "write for example {SW: [-23 um, -32 um]}");
        }

        if (settings.WindowNanometres / settings.StepNanometres is < FewestPoints or > MostPoints)
        {
            throw looks.Required("step").OutOfRange(
                $"a window is {NumberText.Format(Math.Round(settings.WindowNanometres / settings.StepNanometres, 1))} points wide, and must have {FewestPoints} to {MostPoints}", "choose another 'step' or 'window'");
        }

        return settings.AllPoints <= MostSamples
            ? settings
            : throw at.OutOfRange($"the windows have {settings.AllPoints} points, more than the {MostSamples} of a table of samples", "choose a larger 'step', smaller windows, or fewer marks");
    }
}
