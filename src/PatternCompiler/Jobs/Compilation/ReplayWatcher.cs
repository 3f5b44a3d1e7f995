using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Simulation;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Plays an exposure on its machine, every write field where the stage puts it, and deposits the charge on one map.</summary>
/// <param name="machine">The machine.</param>
/// <param name="map">Takes the charge; its origin is the pattern's.</param>
public sealed class ReplayWatcher(Machine machine, ChargeMap map) : ExposureWatcher
{
    private const double NanometresPerFemtometre = 1e-6;

    private ExposureReplay? replay;

    /// <inheritdoc/>
    public override void Begin(StagePosition position) => replay = new ExposureReplay(
        machine, map, position.XFemtometres * NanometresPerFemtometre, position.YFemtometres * NanometresPerFemtometre);

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord>? Records => replay;
}
