using System.Collections.Immutable;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>
/// Reads a table as scopes write it: lines of text about the instrument, a heading, then time and one or more channels, split by commas,
/// semicolons or tabs. Where semicolons or tabs split, numbers may have a decimal comma. Units are volts and seconds unless the heading says otherwise.
/// </summary>
internal static class MeasuredTraceFile
{
    // Deep memories of scopes; beyond it a stretch is cut out first.
    private const int MostSamples = 10_000_000;
    private static readonly (string Unit, double Factor)[] TimeUnits = [("ps", 1e-12), ("ns", 1e-9), ("us", 1e-6), ("µs", 1e-6), ("μs", 1e-6), ("ms", 1e-3), ("s", 1)];
    private static readonly (string Unit, double Factor)[] VoltUnits = [("uv", 1e-6), ("µv", 1e-6), ("μv", 1e-6), ("mv", 1e-3), ("v", 1), ("kv", 1e3)];

    private static readonly ImmutableArray<(string Word, TraceLine Line)> Words =
        [("x", TraceLine.X), ("y", TraceLine.Y), ("blank", TraceLine.Blank), ("scan", TraceLine.ScanEnable)];

    /// <summary>Reads all channels that are some line.</summary>
    /// <param name="source">The table; read to its end, not closed.</param>
    /// <param name="name">Its name, for messages.</param>
    /// <param name="channels">What the channels behind the time are, in their order: x, y, blank, scan, or - for none; empty to go by their names.</param>
    /// <exception cref="CompileException">The table is malformed, or no channel is known.</exception>
    public static ImmutableArray<MeasuredTrace> Read(Stream source, string name, ImmutableArray<string> channels)
    {
        var reader = new Utf8LineReader(new CarrierInput(source), name) { KeepsHashes = true };
        List<string[]> heading = [];
        List<double> times = [];
        List<double>[]? volts = null;
        char delimiter = ',';
        while (reader.TryRead(out ReadOnlySpan<byte> bytes))
        {
            string row = Encoding.UTF8.GetString(bytes).Trim('\uFEFF', ' ');
            if (volts is null)
            {
                delimiter = row.Contains(';') ? ';' : row.Contains('\t') ? '\t' : ',';
            }

            string[] cells = row.TrimEnd(delimiter).Split(delimiter, StringSplitOptions.TrimEntries);
            double[]? numbers = Numbers(cells, hasDecimalComma: delimiter != ',');
            if (volts is null)
            {
                // Text about the instrument may hold numbers, too, but no row of numbers alone.
                if (numbers is null || numbers.Length < 2)
                {
                    heading.Add(cells);
                    continue;
                }

                volts = [.. Enumerable.Range(1, numbers.Length - 1).Select(_ => new List<double>())];
            }

            if (numbers is null || numbers.Length != volts.Length + 1)
            {
                throw Bad(name, reader.LineNumber, $"expected {volts.Length + 1} numbers as in the first row, found \"{row}\"", "remove what is no sample");
            }

            if (times.Count > 0 && numbers[0] <= times[^1])
            {
                throw Bad(name, reader.LineNumber, "the time does not go on from the row before", "save the table with more digits of the time, or one record alone");
            }

            if (times.Count == MostSamples)
            {
                throw Bad(name, reader.LineNumber, $"the table has more than {MostSamples} samples", "save a shorter stretch");
            }

            times.Add(numbers[0]);
            for (int i = 0; i < volts.Length; i++)
            {
                volts[i].Add(numbers[i + 1]);
            }
        }

        return volts is null
            ? throw Bad(name, reader.LineNumber, "there is no row of numbers", "save time and volts of each channel as a table")
            : Named(name, heading, channels, times, volts);
    }

    private static ImmutableArray<MeasuredTrace> Named(string name, List<string[]> heading, ImmutableArray<string> channels, List<double> times, List<double>[] volts)
    {
        if (channels.Length > volts.Length)
        {
            throw Bad(name, 0, $"{channels.Length} channels are named, and the table has {volts.Length} behind the time", "name them in the order of the columns, with - for one that is none of them");
        }

        string[] names = heading.LastOrDefault(cells => cells.Length == volts.Length + 1 && cells.Skip(1).Any(cell => UnitOf(cell, VoltUnits, isAlone: true) is null)) ?? [];
        double timeFactor = Factor(0, TimeUnits);
        ImmutableArray<double> seconds = [.. times.Select(time => time * timeFactor)];
        var traces = ImmutableArray.CreateBuilder<MeasuredTrace>();
        for (int i = 0; i < volts.Length; i++)
        {
            string title = names.Length > 0 ? names[i + 1].Trim('"') : $"channel {i + 1}";
            string word = i < channels.Length ? channels[i] : channels.IsEmpty ? title.ToLowerInvariant() : "-";
            TraceLine? line = LineOf(word, isName: channels.IsEmpty);
            if (line is TraceLine known)
            {
                double factor = Factor(i + 1, VoltUnits);
                traces.Add(new MeasuredTrace(known, title, seconds, [.. volts[i].Select(value => value * factor)]));
            }
        }

        return traces.Count > 0 ? traces.ToImmutable()
            : throw Bad(
                name, 0, $"no channel of {string.Join(", ", names.Skip(1).DefaultIfEmpty("the table").Select(title => PrintedText.Of(title)))} is named x, y, blank or scan",
                "say what the columns behind the time are, for example with --channels x,y");

        double Factor(int column, (string Unit, double Factor)[] units) =>
            heading.Where(cells => cells.Length == volts.Length + 1).Select(cells => UnitOf(cells[column], units, isAlone: false)).LastOrDefault(factor => factor is not null) ?? 1;
    }

    // "x", "x (V)", "x_V", "CH1 x": a word of the name, whatever stands around it.
    private static TraceLine? LineOf(string text, bool isName)
    {
        string[] parts = text.Split([' ', '_', '(', ')', '[', ']', '-', '.', '"'], StringSplitOptions.RemoveEmptyEntries);
        foreach ((string word, TraceLine line) in Words)
        {
            if (isName ? parts.Contains(word) : text == word)
            {
                return line;
            }
        }

        return null;
    }

    private static double? UnitOf(string cell, (string Unit, double Factor)[] units, bool isAlone)
    {
        string text = cell.Trim('"', ' ').ToLowerInvariant();
        foreach ((string unit, double factor) in units)
        {
            if (text == unit || text == $"({unit})" || text == $"[{unit}]"
                || (!isAlone && (text.EndsWith($"({unit})", StringComparison.Ordinal) || text.EndsWith($"[{unit}]", StringComparison.Ordinal) || text.EndsWith($"_{unit}", StringComparison.Ordinal))))
            {
                return factor;
            }
        }

        return null;
    }

    private static double[]? Numbers(string[] cells, bool hasDecimalComma)
    {
        var numbers = new double[cells.Length];
        for (int i = 0; i < cells.Length; i++)
        {
            string cell = hasDecimalComma ? cells[i].Replace(',', '.') : cells[i];
            if (!NumberText.TryParseReal(cell, out numbers[i]))
            {
                return null;
            }
        }

        return numbers;
    }

    private static CompileException Bad(string name, int line, string message, string fix) =>
        new(PredictionCodes.BadTrace, message, line > 0 ? new SourcePlace(name, line) : new SourcePlace(name), fix);
}
