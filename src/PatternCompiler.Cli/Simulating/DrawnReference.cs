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
    public static FlatLayout Read(string name, BuildSettings chosen, DrawingArguments drawing, ParseResult result, CommandContext context)
    {
        Job job = chosen.Job;
        Job unbiased = job with
        {
            Sources = [drawing.SourceOf(name, result)],
            Bias = job.Bias with { DistanceNanometres = 0 },
            Layers = [.. job.Layers.Select(layer => layer with { BiasNanometres = null })],
        };
        using InputStream source = context.Open(name);
        return new Pipeline(
            chosen with { Job = unbiased }, new BuildFiles(context, source), context.Sink, context.Cancellation).Reference();
    }
}
