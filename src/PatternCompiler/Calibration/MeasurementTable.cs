using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration;

/// <summary>
/// Measurements as comma-separated text: a header line such as <c>dose [uC/cm2], thickness [nm]</c>, then one line of
/// numbers per measurement. Blank lines and lines that start with # are passed over; columns may stand in any order, and
/// columns that nobody asks for are allowed.
/// </summary>
internal sealed class MeasurementTable
{
    private const int MostRows = 1_000_000;
    private const int LongestTable = 64 << 20;
    private const int LongestLine = 10_000;

    private readonly string name;
    private readonly int headerLine;
    private readonly string[] columnNames;
    private readonly Unit?[] units;
    private readonly bool[] isWord;
    private readonly List<double[]> rows = [];
    private readonly List<string[]> words = [];
    private readonly List<int> lines = [];

    private MeasurementTable(string name, int headerLine, string[] columnNames, Unit?[] units, ReadOnlySpan<string> wordColumns)
    {
        isWord = new bool[columnNames.Length];
        for (int i = 0; i < isWord.Length; i++)
        {
            isWord[i] = wordColumns.Contains(columnNames[i], StringComparer.OrdinalIgnoreCase);
        }

        HasGaps = wordColumns.Length > 0;
        this.name = name;
        this.headerLine = headerLine;
        this.columnNames = columnNames;
        this.units = units;
    }

    /// <summary>Numbers may be missing.</summary>
    private bool HasGaps { get; }

    /// <summary>Number of measurements.</summary>
    public int Count => rows.Count;

    /// <summary>Reads a table.</summary>
    /// <param name="source">The text; stays open.</param>
    /// <param name="name">File name for messages.</param>
    /// <param name="wordColumns">
    /// Columns that hold words. A table with such columns mixes kinds of readings, and a number that a line does not have is left empty.
    /// </param>
    /// <exception cref="CompileException">The text is not such a table; the error names line and column.</exception>
    public static MeasurementTable Read(Stream source, string name, params ReadOnlySpan<string> wordColumns)
    {
        string all = Utf8Text.Read(source, name, LongestTable)
            ?? throw Fault(name, 0, 0, $"the table has more than {LongestTable >> 20} MiB", "fit a part of it");
        using var reader = new StringReader(all);
        MeasurementTable? table = null;
        string header = "";
        int number = 0;
        while (reader.ReadLine() is string line)
        {
            number++;
            if (line.Length > LongestLine)
            {
                throw Fault(name, number, 0, $"the line is longer than {LongestLine} characters", "this does not look like a measurement table");
            }

            string text = line.Trim();
            if (text.Length == 0 || text.StartsWith('#'))
            {
                continue;
            }

            // Tables that are put one behind the other have a header each.
            if (table is null)
            {
                table = ReadHeader(text, name, number, wordColumns);
                header = text;
            }
            else if (text != header)
            {
                table.AddRow(line, number);
            }
        }

        return table is { Count: > 0 }
            ? table
            : throw Fault(
                name, number, 0, table is null ? "the table is empty" : "the table has a header but no measurements",
                "write a header such as 'dose [uC/cm2], thickness [nm]' and a line of numbers per measurement");
    }

    /// <summary>Where a measurement stands.</summary>
    public SourcePlace PlaceOf(int row) => new(name, lines[row]);

    /// <summary>True if there is a column of this name; case does not matter.</summary>
    public bool Has(string column) => columnNames.Contains(column, StringComparer.OrdinalIgnoreCase);

    /// <summary>The cells of a column of words; null if there is none.</summary>
    public string[]? Words(string column)
    {
        int index = Array.FindIndex(columnNames, c => string.Equals(c, column, StringComparison.OrdinalIgnoreCase));
        return index < 0 ? null : [.. words.Select(row => row[index])];
    }

    /// <summary>The rows whose cell in a column of words is this word; case does not matter. The table itself if it has no such column.</summary>
    /// <exception cref="CompileException">No row is.</exception>
    public MeasurementTable Only(string column, string word)
    {
        if (Words(column) is not { } cells)
        {
            return this;
        }

        var kept = new MeasurementTable(name, headerLine, columnNames, units, [.. columnNames.Where((_, i) => isWord[i])]);
        foreach (int row in Enumerable.Range(0, Count).Where(row => string.Equals(cells[row], word, StringComparison.OrdinalIgnoreCase)))
        {
            kept.rows.Add(rows[row]);
            kept.words.Add(words[row]);
            kept.lines.Add(lines[row]);
        }

        return kept.Count > 0 ? kept : throw Fault(name, headerLine, 0, $"no line has '{word}' in the column '{column}'", "other lines tell nothing here");
    }

    /// <summary>One column, converted to a unit.</summary>
    /// <param name="column">Its name; case does not matter.</param>
    /// <param name="unit">Unit wanted.</param>
    /// <exception cref="CompileException">There is no such column, or it measures something else.</exception>
    public double[] Column(string column, Unit unit)
    {
        int index = Array.FindIndex(columnNames, c => string.Equals(c, column, StringComparison.OrdinalIgnoreCase));
        string example = unit.Dimension == Dimension.Fraction ? column : $"{column} [{unit.Symbol}]";
        if (index < 0)
        {
            throw Fault(
                name, headerLine, 0, $"there is no column '{column}', only {string.Join(", ", columnNames)}",
                NearestWord.Find(column, columnNames) is string nearest ? $"is '{nearest}' meant? name it '{example}'" : $"add a column '{example}'");
        }

        if (units[index]?.Dimension != unit.Dimension)
        {
            throw Fault(
                name, headerLine, 0, $"the column '{column}' needs {DimensionText.NameOf(unit.Dimension)} as its unit",
                $"name it '{example}'");
        }

        return [.. rows.Select(row => double.IsNaN(row[index]) ? double.NaN : new Quantity(row[index], units[index]!).In(unit))];
    }

    /// <summary>One column without gaps, of a table that may have some.</summary>
    public double[] FilledColumn(string column, Unit unit)
    {
        double[] values = Column(column, unit);
        int bad = Array.FindIndex(values, double.IsNaN);
        return bad < 0
            ? values
            : throw Fault(name, lines[bad], 0, $"the column '{column}' is empty", "write a plain number, such as 12.5 or 3e-2, or put # in front of the line");
    }

    /// <summary>One column of values that must be above zero.</summary>
    public double[] PositiveColumn(string column, Unit unit)
    {
        double[] values = FilledColumn(column, unit);
        int bad = Array.FindIndex(values, v => !(v > 0));
        return bad < 0
            ? values
            : throw new CompileException(
                CalibrationCodes.ImpossibleValue,
                $"{column} must be above zero, but it is {NumberText.Format(values[bad])} {unit.Symbol}".TrimEnd(),
                new SourcePlace(name, lines[bad]),
                "correct the line, or put # in front of it");
    }

    /// <summary>
    /// An error of a fit to this table, with the file and, where it concerns one measurement, its line.
    /// </summary>
    public CompileException Locate(CompileException fault)
    {
        Diagnostic diagnostic = fault.Diagnostic;
        return diagnostic.Place.File is not null || !diagnostic.Code.Id.StartsWith("PC40", StringComparison.Ordinal)
            ? fault
            : new CompileException(
                diagnostic with { Place = diagnostic.Place with { File = name, Line = diagnostic.Measurement is int row ? lines[row] : 0 } }, fault);
    }

    private static MeasurementTable ReadHeader(string text, string name, int line, ReadOnlySpan<string> wordColumns)
    {
        string[] parts = text.Split(',', StringSplitOptions.TrimEntries);
        var names = new string[parts.Length];
        var units = new Unit?[parts.Length];
        for (int i = 0; i < parts.Length; i++)
        {
            int open = parts[i].IndexOf('[', StringComparison.Ordinal);
            names[i] = (open < 0 ? parts[i] : parts[i][..open]).Trim();
            string symbol = open < 0 ? "" : parts[i][(open + 1)..].TrimEnd(']', ' ').Trim();
            if (names[i].Length == 0 || char.IsAsciiDigit(names[i][0]) || names[i][0] is '-' or '+' or '.')
            {
                throw Fault(
                    name, line, 0, $"column {i + 1} of the header is '{parts[i]}', which is no name",
                    "the first line names the columns, such as 'dose [uC/cm2], thickness [nm]'");
            }

            if (names.AsSpan(0, i).Contains(names[i]))
            {
                throw Fault(name, line, 0, $"two columns are named '{names[i]}'", "rename one of them");
            }

            // A unit nobody can read is only a fault if somebody asks for the column.
            if (Quantity.TryParse($"1 {symbol}", Enum.GetValues<Dimension>(), out Quantity one, out _))
            {
                units[i] = one.Unit;
            }
        }

        return new MeasurementTable(name, line, names, units, wordColumns);
    }

    private void AddRow(string line, int number)
    {
        string[] parts = line.Split(',');
        if (parts.Length != columnNames.Length)
        {
            throw Fault(
                name, number, 0, $"the line has {parts.Length} values, but the header names {columnNames.Length} columns",
                "separate values by commas; decimals take a point");
        }

        if (rows.Count == MostRows)
        {
            throw Fault(name, number, 0, $"the table has more than {MostRows} measurements", "fit a part of it");
        }

        var row = new double[parts.Length];
        int column = 1;
        for (int i = 0; i < parts.Length; i++)
        {
            string cell = parts[i].Trim();
            if (isWord[i] || (HasGaps && cell.Length == 0))
            {
                row[i] = double.NaN;
            }
            else if (!NumberText.TryParseReal(cell, out row[i]))
            {
                throw Fault(name, number, column, $"'{cell}' in column '{columnNames[i]}' is not a number", "write a plain number, such as 12.5 or 3e-2");
            }

            if (Math.Abs(row[i]) is > Quantity.Largest or (> 0 and < 1 / Quantity.Largest))
            {
                throw Fault(name, number, column, $"'{cell}' in column '{columnNames[i]}' is beyond anything measured", "correct the line, or put # in front of it");
            }

            column += parts[i].Length + 1;
        }

        rows.Add(row);
        words.Add(HasGaps ? [.. parts.Select(part => part.Trim())] : []);
        lines.Add(number);
    }

    private static CompileException Fault(string name, int line, int column, string message, string fix) =>
        new(CalibrationCodes.BadTable, message, new SourcePlace(name, line, column), fix);
}
