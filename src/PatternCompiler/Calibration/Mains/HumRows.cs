using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Calibration.Mains;

/// <summary>Displacements of edges over time.</summary>
internal sealed class HumRows
{
    private static readonly Unit Millisecond = new("ms", Dimension.Time, -3);
    private const int MostLines = 200;

    private readonly (double Middle, double Half)[] extents;

    private HumRows(double[] seconds, int[] lineOf, ImmutableArray<(string Name, double[] Nanometres)> axes)
    {
        (Seconds, LineOf, Axes) = (seconds, lineOf, axes);
        Lines = lineOf.Max() + 1;
        extents = [.. Enumerable.Range(0, Lines).Select(line =>
        {
            double[] own = [.. seconds.Where((_, i) => lineOf[i] == line)];
            double half = (own.Max() - own.Min()) / 2;
            return ((own.Max() + own.Min()) / 2, half > 0 ? half : 1);
        })];
        SpanSeconds = extents.Max(extent => 2 * extent.Half);
        double[] steps =
        [
            .. Enumerable.Range(0, Lines)
                .Select(line => seconds.Where((_, i) => lineOf[i] == line).Order().ToArray())
                .SelectMany(own => own.Skip(1).Zip(own, (after, before) => after - before)).Where(step => step > 0).Order(),
        ];
        UsualStepSeconds = steps.Length > 0 ? steps[steps.Length / 2] : 0;
    }

    /// <summary>Time of each row; 0 is an edge of the trigger, or any agreed moment.</summary>
    public double[] Seconds { get; }

    /// <summary>The line or picture of each row, from 0.</summary>
    public int[] LineOf { get; }

    /// <summary>How far the edge lies from where it should, along x or y.</summary>
    public ImmutableArray<(string Name, double[] Nanometres)> Axes { get; }

    /// <summary>Number of rows.</summary>
    public int Count => Seconds.Length;

    /// <summary>Number of lines or pictures.</summary>
    public int Lines { get; }

    /// <summary>Time from the first to the last row of the longest line.</summary>
    public double SpanSeconds { get; }

    /// <summary>Time from the first to the last row of all.</summary>
    public double LongestSeconds => Seconds.Max() - Seconds.Min();

    /// <summary>The middle one of the times from row to row.</summary>
    public double UsualStepSeconds { get; }

    /// <summary>All displacements, axis after axis.</summary>
    public double[] Stacked => [.. Axes.SelectMany(axis => axis.Nanometres)];

    /// <summary>Where a row lies on its line, from −1 to 1.</summary>
    public double Along(int row) => (Seconds[row] - extents[LineOf[row]].Middle) / extents[LineOf[row]].Half;

    /// <summary>From a table.</summary>
    /// <param name="table">Columns time, or position with a speed; x, y or both; line where there are several.</param>
    /// <param name="nanometresPerSecond">Speed of the lines; null where the table has times.</param>
    /// <exception cref="CompileException">A column is missing.</exception>
    public static HumRows Of(MeasurementTable table, double? nanometresPerSecond)
    {
        bool hasPosition = table.Has("position");
        if (hasPosition == table.Has("time"))
        {
            throw new CompileException(
                CalibrationCodes.BadTable,
                hasPosition ? "the table has both 'time' and 'position', and it is not said which counts" : "the table has neither a column 'time' nor a column 'position'",
                fix: "name the time of each row 'time [ms]', or where it lies along a line written at a steady speed 'position [um]' with --speed");
        }

        if (hasPosition != nanometresPerSecond.HasValue)
        {
            throw new CompileException(
                CalibrationCodes.BadTable,
                hasPosition ? "the table has positions along lines, and it is not said how fast they were written" : "a speed goes with a column 'position', and the table has times",
                fix: hasPosition ? "add --speed: beam current / line dose" : "leave --speed out");
        }

        double[] seconds = hasPosition
            ? [.. table.Column("position", Unit.Nanometre).Select(place => place / nanometresPerSecond!.Value)]
            : [.. table.Column("time", Millisecond).Select(time => time / 1000)];
        var axes = ImmutableArray.CreateBuilder<(string, double[])>();
        foreach (string axis in new[] { "x", "y" })
        {
            if (table.Has(axis))
            {
                axes.Add((axis, table.Column(axis, Unit.Nanometre)));
            }
        }

        return axes.Count > 0
            ? new HumRows(seconds, LinesOf(table), axes.ToImmutable())
            : throw new CompileException(
                CalibrationCodes.BadTable, "the table has neither a column 'x' nor a column 'y'", fix: "name the displacements 'x [nm]' or 'y [nm]', after the axis along which they were measured");
    }

    /// <summary>From numbers.</summary>
    public static HumRows Of(double[] seconds, int[] lines, params ReadOnlySpan<(string Name, double[] Nanometres)> axes) => new(seconds, lines, [.. axes]);

    private static int[] LinesOf(MeasurementTable table)
    {
        if (!table.Has("line"))
        {
            return new int[table.Count];
        }

        double[] named = table.Column("line", Unit.One);
        List<double> known = [.. named.Distinct().Order()];
        if (known.Count > MostLines)
        {
            throw new CompileException(
                CalibrationCodes.BadTable, $"the column 'line' tells {known.Count} lines apart, more than {MostLines}", fix: "fit a part of them, or look for exchanged columns");
        }

        return [.. named.Select(value => known.IndexOf(value))];
    }
}
