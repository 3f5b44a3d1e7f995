using System.CommandLine;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Cli.Simulating;

/// <summary>The layout that a print is measured against: what the drawing wants, not what it takes to print it.</summary>
internal static class DrawnReference
{
    /// <summary>
    /// Reads a drawing or layout and puts it where the job puts the pattern; the bias, which makes up for the process, stays
    /// out, and curves are followed closely.
    /// </summary>
    /// <param name="name">File of the drawing.</param>
    /// <param name="chosen">The settings.</param>
    /// <param name="drawing">How it is read.</param>
    /// <param name="result">The command line.</param>
    /// <param name="context">Opens it and takes messages.</param>
    /// <param name="turnedDegrees">The drawing is turned counter-clockwise about its origin by this.</param>
    public static FlatLayout Read(string name, BuildSettings chosen, DrawingArguments drawing, ParseResult result, CommandContext context, double turnedDegrees = 0)
    {
        Job job = chosen.Job;
        Job unbiased = job with
        {
            Sources = [drawing.SourceOf(name, result) with { Placement = new SourcePlacement { RotationDegrees = turnedDegrees } }],
            Bias = job.Bias with { DistanceNanometres = 0 },
            Layers = [.. job.Layers.Select(layer => layer with { BiasNanometres = null })],
        };
        using InputStream source = context.Open(name);
        return new Pipeline(
            chosen with { Job = unbiased }, new BuildFiles(context, source), context.Sink, context.Cancellation).Reference();
    }
}
