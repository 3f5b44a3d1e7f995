using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>A position of the stage from which part of a pattern is written.</summary>
/// <param name="Field">The write field; null where the whole pattern is written from one position.</param>
/// <param name="XFemtometres">Where the origin of its strokes lies on the pattern.</param>
/// <param name="YFemtometres">Where the origin of its strokes lies on the pattern.</param>
/// <param name="FirstFigure">Number of its first figure, counted through the whole pattern.</param>
/// <param name="StageXNanometres">Reading of the stage.</param>
/// <param name="StageYNanometres">Reading of the stage.</param>
/// <param name="MoveSeconds">Time of the move that leads there.</param>
internal sealed record StagePosition(
    WriteField? Field, long XFemtometres, long YFemtometres, int FirstFigure, double StageXNanometres, double StageYNanometres, double MoveSeconds)
{
    private const long FemtometresPerPicometre = 1000;
    private const double NanometresPerFemtometre = 1e-6;

    /// <summary>What else there is to the stop.</summary>
    public StopDetails Details { get; init; } = StopDetails.None;

    /// <summary>The only position of a pattern that is not divided.</summary>
    public static StagePosition Only { get; } = new(null, 0, 0, 0, 0, 0, 0);

    /// <summary>Settings as they hold here.</summary>
    /// <exception cref="Diagnostics.CompileException">Nothing says how this field lies on the layer below.</exception>
    public BuildSettings Of(BuildSettings settings) =>
        Field is null ? settings : settings.In(Field.Name, (XFemtometres * NanometresPerFemtometre, YFemtometres * NanometresPerFemtometre));

    /// <summary>A machine as it writes here.</summary>
    public Machine Of(Machine machine) => Field is null ? machine : machine.In(Field.Name, XFemtometres * NanometresPerFemtometre, YFemtometres * NanometresPerFemtometre);

    /// <summary>The position of a write field.</summary>
    /// <param name="field">The field.</param>
    /// <param name="gridPicometres">Grid of the pattern.</param>
    /// <param name="firstFigure">Number of its first figure.</param>
    /// <param name="reading">Reading of the stage, in nanometres.</param>
    /// <param name="moveSeconds">Time of the move that leads there.</param>
    public static StagePosition Of(WriteField field, long gridPicometres, int firstFigure, (double X, double Y) reading, double moveSeconds) => new(
        field,
        field.Centre.X * gridPicometres * FemtometresPerPicometre,
        field.Centre.Y * gridPicometres * FemtometresPerPicometre,
        firstFigure,
        reading.X,
        reading.Y,
        moveSeconds);
}
