using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Settling;

/// <summary>How far a dot lies from where it should after a jump.</summary>
/// <param name="Row">Line of the table, from 0.</param>
/// <param name="Axis">Along which the beam jumped, x or y; a blank where the table does not tell.</param>
/// <param name="Jump">Length of the jump in nanometres; of both jumps together where the dot is compared with one that is approached from the other side.</param>
/// <param name="Wait">From the start of the jump until the beam comes on, in microseconds.</param>
/// <param name="Visit">How long the beam stays then, in microseconds.</param>
/// <param name="Displacement">How far the dot has stayed behind, in nanometres.</param>
/// <param name="IsOfBothSides">True where it is compared with one that is approached from the other side: their distance holds the hysteresis.</param>
/// <param name="Visits">How often the beam comes to it, each time after a jump there and a jump back of the same length and wait.</param>
internal readonly record struct SettlingReading(int Row, char Axis, double Jump, double Wait, double Visit, double Displacement, bool IsOfBothSides, int Visits = 1)
{
    /// <summary>The columns that hold words.</summary>
    public static readonly string[] WordColumns = ["axis"];

    private const int MostVisits = 10_000;

    // What settles overshoots by less than it jumped; the rest is room for the reading's own error.
    private const double MostOfJump = 2;
    private static readonly Unit Microsecond = new("us", Dimension.Time, -6);

    /// <summary>Reads a table: jump, wait, displacement, and, where they are there, axis, sides, visit and visits.</summary>
    public static IReadOnlyList<SettlingReading> Of(MeasurementTable table)
    {
        double[] jumps = table.PositiveColumn("jump", Unit.Nanometre);
        double[] waits = table.Column("wait", Microsecond);
        double[] displacements = table.Column("displacement", Unit.Nanometre);
        double[]? sides = table.Has("sides") ? table.Column("sides", Unit.One) : null;
        double[]? visits = table.Has("visit") ? table.Column("visit", Microsecond) : null;
        double[]? counts = table.Has("visits") ? table.Column("visits", Unit.One) : null;
        string[]? axes = table.Words("axis");
        return [.. Enumerable.Range(0, table.Count).Select(Read)];

        SettlingReading Read(int row)
        {
            string axis = axes?[row] ?? " ";
            double side = sides?[row] ?? 1, visit = visits?[row] ?? 0, count = counts?[row] ?? 1;
            return double.IsNaN(jumps[row] + waits[row] + displacements[row]) ? throw Bad(row, "a number is left out: jump, wait and displacement are needed in each line")
                : Math.Abs(displacements[row]) > MostOfJump * jumps[row]
                    ? throw Bad(row, $"the beam stayed {NumberText.Format(displacements[row])} nm behind after a jump of {NumberText.Format(jumps[row])} nm: look for a unit other than the header says, or exchanged columns")
                : axis is not ("x" or "y" or " ") ? throw Bad(row, $"'axis' must be x or y, along which the beam jumped, but it is '{axis}'")
                : side is not (1 or 2) ? throw Bad(row, $"'sides' must be 1 or 2, from how many the dots were approached that are compared, but it is {NumberText.Format(side)}")
                : !(visit >= 0) ? throw Bad(row, $"'visit' must not be below zero, but it is {NumberText.Format(visit)}")
                : !(count is >= 1 and <= MostVisits && count == Math.Floor(count)) ? throw Bad(row, $"'visits' must be a whole number from 1 to {MostVisits}, but it is {NumberText.Format(count)}")
                : new SettlingReading(row, axis[0], jumps[row], waits[row], visit, displacements[row], side == 2, (int)count);
        }
    }

    /// <summary>True if a table tells more than lengths and times, or compares both sides.</summary>
    public bool IsDetailed => Axis != ' ' || IsOfBothSides || Visit > 0 || Visits > 1;

    private static CompileException Bad(int row, string message) =>
        new(new Diagnostic(CalibrationCodes.BadTable, Severity.Error, message) { Measurement = row });
}
