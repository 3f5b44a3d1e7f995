using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>
/// Reads a table of mean currents: <c>on [us], off [us], current [pA]</c>, or <c>frequency [kHz], duty, current [pA]</c>, with a column
/// <c>deflection</c> where the beam was moved in or out of the cup.
/// </summary>
internal static class CupReadings
{
    /// <summary>Words of the column <c>deflection</c>; an empty cell is the first.</summary>
    public static readonly Choice<CupDeflection> Deflections = new(
        ("held", CupDeflection.Held), ("leaves", CupDeflection.Leaves), ("enters", CupDeflection.Enters));

    /// <summary>Columns that hold words.</summary>
    public static readonly IReadOnlyList<string> WordColumns = ["deflection"];

    private const double MicrosecondsPerSecond = 1e6;
    private static readonly Unit Microsecond = new("us", Dimension.Time, -6);
    private static readonly Unit Kilohertz = new("kHz", Dimension.Frequency, 3);
    private static readonly Unit Picoampere = new("pA", Dimension.Current, -12);

    /// <summary>True for a table of currents, and not of lines.</summary>
    public static bool Has(MeasurementTable table) => table.Has("current");

    /// <summary>The readings of a table.</summary>
    /// <exception cref="CompileException">A column is missing, or a line says what cannot be.</exception>
    public static CupReading[] Of(MeasurementTable table)
    {
        double[] currents = table.FilledColumn("current", Picoampere);
        double[] first, second;
        bool isByRate = table.Has("frequency");
        (first, second) = isByRate
            ? (table.Column("frequency", Kilohertz), table.FilledColumn("duty", Unit.One))
            : (table.FilledColumn("on", Microsecond), table.FilledColumn("off", Microsecond));
        string[]? words = table.Words("deflection");
        var readings = new CupReading[currents.Length];
        for (int row = 0; row < readings.Length; row++)
        {
            (double on, double off) = isByRate ? Times(first[row], second[row], row) : (first[row], second[row]);
            Require(on >= 0 && off >= 0 && on + off > 0, row, "the times of the blank line must be zero or more, and not both zero");
            CupDeflection deflection = CupDeflection.Held;
            string word = words?[row] ?? "";
            Require(word.Length == 0 || Deflections.TryWord(word, out deflection), row, $"'{word}' is no deflection: it is {Deflections.Alternatives}");
            readings[row] = new CupReading(on, off, deflection, currents[row], row);
            Require(!readings[row].IsSteady || deflection == CupDeflection.Held, row, "a line that does not switch goes with a deflection that is held");
        }

        return readings;

        // A steady beam may have any frequency, or none.
        (double On, double Off) Times(double kilohertz, double duty, int row)
        {
            Require(duty is >= 0 and <= 1, row, "the duty is the part of the time with the beam on, from 0 to 1");
            if (duty is 0 or 1)
            {
                return (duty, 1 - duty);
            }

            Require(kilohertz > 0, row, "a line that is switched has a frequency above zero");
            double period = MicrosecondsPerSecond / (1000 * kilohertz);
            return (duty * period, (1 - duty) * period);
        }

        void Require(bool holds, int row, string problem)
        {
            if (!holds)
            {
                throw new CompileException(CalibrationCodes.ImpossibleValue, problem, table.PlaceOf(row), "correct the line, or put # in front of it");
            }
        }
    }
}
