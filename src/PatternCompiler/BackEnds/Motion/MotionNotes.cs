using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>Comments at the head of a motion program: its scale, and what the controller has to be set to so that doses are right.</summary>
internal static class MotionNotes
{
    /// <summary>How the line of the scale starts.</summary>
    public const string ScaleStart = "(scale: ";

    /// <summary>How a note for people starts.</summary>
    public const string NoteStart = "(note: ";

    /// <summary>How the line on rounded dwells starts.</summary>
    public const string DoseStart = "(dose: ";

    private const double MillimetresPerNanometre = 1e-6;
    private const int Digits = 12;

    /// <summary>The line that says what a unit is.</summary>
    public static string Scale(RecordsHeader header, MotionDialect dialect) => dialect.VoltsPerUnit > 0
        ? $"{ScaleStart}1 unit of X or Y is {Number(dialect.VoltsPerUnit)} V at that output)"
        : $"{ScaleStart}1 mm of X or Y is 1 mm on the sample, and at the outputs {Number(header.Dac.LsbVolts / (header.NanometresPerCodeX * MillimetresPerNanometre))} V of X and {Number(header.Dac.LsbVolts / (header.NanometresPerCodeY * MillimetresPerNanometre))} V of Y)";

    /// <summary>The notes.</summary>
    public static IEnumerable<string> All(MotionDialect dialect) =>
    [
        NoteStart + "rapid moves: the beam is off during G0, which takes its own time beside the dwells)",
        NoteStart + "acceleration: G1 exposes and has to run at one speed from end to end; where it starts and stops slowly its ends get more dose)",
        NoteStart + "queue: beam words and dwells have to wait for the moves before them, also where blocks are read ahead)",
        .. dialect.DwellStepSeconds > 0 ? [$"{NoteStart}dwells are whole multiples of {Number(dialect.DwellStepSeconds)} s; what that does to doses stands at the end)"] : Array.Empty<string>(),
    ];

    private static string Number(double value) => QuantityText.Format(value, Dimension.Fraction, Digits);
}
