using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Plays an exposure on its machine, every write field where the stage puts it, and deposits the charge on one map.</summary>
/// <param name="machine">The machine.</param>
/// <param name="map">Takes the charge; its origin is the pattern's.</param>
/// <param name="errors">How far the stage misses each field's place; null for a stage that does not.</param>
/// <param name="mains">What the mains does, the same for every field; null for the machine's hum, writing started at an edge.</param>
internal sealed class ReplayWatcher(Machine machine, ChargeMap map, StageErrors? errors = null, HumReplay? mains = null) : ExposureWatcher
{
    private const double NanometresPerFemtometre = 1e-6;

    private ExposureReplay? replay;

    /// <summary>The plan of write fields; null where the pattern is written from one position.</summary>
    public FieldPlan? Plan { get; private set; }

    /// <inheritdoc/>
    public override void See(FieldPlan plan) => Plan = plan;

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        (double x, double y) = position.Field is { } field && errors is not null ? errors.At(field) : (0, 0);
        replay = new ExposureReplay(
            position.Of(machine), map, position.XFemtometres * NanometresPerFemtometre + x, position.YFemtometres * NanometresPerFemtometre + y, mains);
    }

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => replay;
}
