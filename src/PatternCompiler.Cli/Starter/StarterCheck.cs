using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;

namespace PatternCompiler.Cli.Starter;

/// <summary>
/// What a build and an estimate would say of a plain pattern written with new settings: the spacing is chosen so that they say nothing, and whoever
/// has given answers that do not go together hears it at once.
/// </summary>
internal static class StarterCheck
{
    private const double SideInSpots = 60;

    // Drawings of smaller details ask more of the link than the plain pattern does.
    private const double UsedPartOfLink = 0.8;
    private const double LargestPartOfField = 0.25;

    /// <summary>In the order in which they are tried: a spot is coarse enough for most links, and even where the resist blurs it.</summary>
    private static readonly double[] SpacingsInSpots = [1, 1.25, 1.5, 0.75, 0.5, 2, 3, 4];

    /// <summary>
    /// Line pitch and point step in codes: the first with which nothing is left to warn of. Where something always is, the first of those that
    /// leave the least.
    /// </summary>
    /// <param name="start">The settings.</param>
    /// <param name="read">Reads their files.</param>
    /// <param name="cancellation">Stops the search.</param>
    /// <returns>The settings with the spacing, and what is left.</returns>
    public static (StarterSettings Settings, IReadOnlyList<Diagnostic> Left) Choose(
        StarterSettings start, Func<StarterSettings, BuildSettings> read, CancellationToken cancellation)
    {
        BuildSettings first = read(start);
        double code = first.Machine.Deflection.FieldWidthNanometres / (1 << first.Machine.Dac.Bits);
        double spot = first.Machine.Beam.SpotNanometres;
        start = start with { CancelsLag = LagsBehind(first) };
        (StarterSettings Settings, IReadOnlyList<Diagnostic> Left)? best = null;
        foreach (int codes in SpacingsInSpots.Select(part => Math.Max(1, (int)(part * spot / code))).Distinct().TakeWhile(_ => best?.Left.Count != 0))
        {
            StarterSettings trial = start with { SpacingCodes = codes };
            IReadOnlyList<Diagnostic> left = Run(WithSlowerLink(read(trial)), cancellation);
            best = best is null || left.Count < best.Value.Left.Count ? (trial, left) : best;
        }

        return (best!.Value.Settings, best.Value.Left.Count == 0 ? [] : Run(read(best.Value.Settings), cancellation));
    }

    /// <summary>
    /// With lines half a spot apart the beam runs at I/(D·p), and the deflection lags behind by its time constant: by more than a quarter of a
    /// spot, lines are to be sent ahead by as much.
    /// </summary>
    private static bool LagsBehind(BuildSettings settings)
    {
        double spotMetres = settings.Machine.Beam.SpotNanometres * 1e-9;
        double metresPerSecond = settings.Machine.Beam.CurrentAmperes / (settings.Process.AreaDoseCoulombsPerSquareMetre * 0.5 * spotMetres);
        return metresPerSecond * settings.Machine.Settle.TimeConstantSeconds > 0.25 * spotMetres;
    }

    private static BuildSettings WithSlowerLink(BuildSettings settings) => settings with
    {
        Machine = settings.Machine with { Link = settings.Machine.Link with { BytesPerSecond = UsedPartOfLink * settings.Machine.Link.BytesPerSecond } },
    };

    /// <summary>The warnings, or the error that ends the run.</summary>
    private static IReadOnlyList<Diagnostic> Run(BuildSettings settings, CancellationToken cancellation)
    {
        var sink = new DiagnosticSink();
        var judge = new ExposureJudge(settings);
        Job job = settings.Job with { Sources = [new JobSource("sample.layout")], Report = null };
        var pattern = new Sample(PatternOf(settings));
        try
        {
            new Pipeline(settings with { Job = job }, pattern, sink, cancellation).Run(PipelineInput.Drawings, [judge]);
            ExposureJudge.Report(judge.ToEstimate(), sink);
        }
        catch (CompileException fault)
        {
            return [fault.Diagnostic with { Severity = Severity.Warning, Place = default }];
        }

        // That small figures get few electrons is a matter of the drawing.
        return [.. sink.Collected.Where(diagnostic => diagnostic.Severity == Severity.Warning && diagnostic.Code != PredictionCodes.ShotNoise)];
    }

    /// <summary>A square, a bar and a disc, whose short lines ask most of the link, well within the field.</summary>
    private static string PatternOf(BuildSettings settings)
    {
        double field = Math.Min(settings.Machine.Deflection.FieldWidthNanometres, settings.Machine.Deflection.FieldHeightNanometres);
        double side = Math.Ceiling(Math.Min(SideInSpots * settings.Machine.Beam.SpotNanometres, LargestPartOfField * field));
        return string.Create(
            CultureInfo.InvariantCulture,
            $"layout 1\nunit nm\nlayer a\nrect on a from ({-side}, 0) to (0, {side})\nrect on a from ({side / 2}, 0) to ({side * 3 / 4}, {side})\ncircle on a at (0, {-side}) radius {side / 2}\n");
    }

    private sealed class Sample(string text) : IBuildFiles
    {
        public Stream OpenDrawing(string path) => new MemoryStream(Encoding.UTF8.GetBytes(text));

        public IncludedFile? OpenInclude(string name, string from) => null;

        public IBuildOutput Create(string path, bool isBinary) => throw new NotSupportedException("Nothing is written.");
    }
}
