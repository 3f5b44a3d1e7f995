using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model.Figures;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Places;

/// <summary>A job taken to its figures, with what messages about each of them would say.</summary>
internal sealed class TracedPattern
{
    private readonly Pipeline pipeline;

    private TracedPattern(Job job, MemoryFiles files)
    {
        pipeline = new Pipeline(new BuildSettings(job, DefaultFiles.Machine, DefaultFiles.Process), files, new DiagnosticSink(), CancellationToken.None);
        Figures = pipeline.Fracture(pipeline.Flatten(pipeline.Layout()));
        pipeline.Check(Figures, null);
    }

    /// <summary>The figures.</summary>
    public FiguresDocument Figures { get; }

    /// <summary>Numbers of the figures.</summary>
    public IEnumerable<int> Numbers => Enumerable.Range(0, Figures.Figures.Count);

    /// <summary>A job of one layout "a.layout", the job's keys as a YAML flow mapping without its brackets.</summary>
    public static TracedPattern Of(string layout, string keys = "", Func<JobSource, JobSource>? change = null)
    {
        var source = new JobSource("a.layout");
        Job job = JobFile.Parse($"{{job: a{(keys.Length > 0 ? ", " + keys : "")}}}", null) with { Sources = [change is null ? source : change(source)] };
        return new(job, new MemoryFiles().With("a.layout", "layout 1\nunit um\n" + layout));
    }

    /// <summary>A job of several drawings.</summary>
    public static TracedPattern Of(MemoryFiles files, params JobSource[] sources) => new(DefaultFiles.Job with { Sources = [.. sources] }, files);

    /// <summary>The place that a message about a figure has.</summary>
    public SourcePlace this[int figure] =>
        pipeline.Places.Complete(new Diagnostic(FillCodes.NoDose, Severity.Note, "told", SourcePlace.OfFigure(figure))).Place;

    /// <summary>All that messages about a figure name, in short.</summary>
    public string[] All(int figure) => [.. new[] { this[figure] }.Concat(this[figure].Item!.Also).Select(place => $"{place.File}:{place.Line} {place.Entity}")];
}
