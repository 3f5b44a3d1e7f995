using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Layout;
using PatternCompiler.Model.Records;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Flatten;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>
/// Watches the documents of one run of the pipeline as they pass: to write them, to judge them, to draw them. Every stage of
/// the run happens once, however many watch.
/// </summary>
internal abstract class ExposureWatcher
{
    /// <summary>The layout with its job's operations done, in place.</summary>
    public virtual void See(LayoutDocument layout)
    {
    }

    /// <summary>The same without cells, curves as polygons, before it is cut into figures.</summary>
    public virtual void See(FlatLayout layout)
    {
    }

    /// <summary>Takes the figures of the whole pattern as one document; null for none.</summary>
    public virtual IDocumentSink<FiguresHeader, Figure>? Figures => null;

    /// <summary>The figures of the whole pattern, doses corrected; those of write fields one field after the other, where each stands in its field.</summary>
    public virtual void See(FiguresDocument figures)
    {
    }

    /// <summary>The plan of write fields, if the pattern is divided.</summary>
    public virtual void See(FieldPlan plan)
    {
    }

    /// <summary>A position of the stage begins: one document of strokes (if the run knows them) and one of records follow.</summary>
    public virtual void Begin(StagePosition position)
    {
    }

    /// <summary>Takes the strokes of the position that has begun; null for none.</summary>
    public virtual IDocumentSink<StrokesHeader, Stroke>? Strokes => null;

    /// <summary>Takes the records of the position that has begun; null for none.</summary>
    public virtual IDocumentSink<RecordsHeader, DeflectionRecord>? Records => null;

    /// <summary>The position that has begun is complete.</summary>
    public virtual void End(ExposedPart part)
    {
    }

    /// <summary>Nothing follows.</summary>
    public virtual void Complete()
    {
    }
}
