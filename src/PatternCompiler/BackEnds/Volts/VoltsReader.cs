using System.Diagnostics.CodeAnalysis;
using System.Text;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Volts;

/// <summary>Reads a table of voltages back into dots and jumps. It says nothing about the machine, so it has to be given.</summary>
internal sealed class VoltsReader
{
    private const string Columns = "time in seconds, x and y in volts, 1 or 0 for the beam, and 1 or 0 for the blank line";

    private readonly Utf8LineReader reader;
    private readonly CodeScale volts;
    private readonly TickScale time;
    private readonly BlankLine line;
    private readonly BlankLevel level;

    private VoltsReader(Utf8LineReader reader, RecordsHeader header)
    {
        this.reader = reader;
        volts = new CodeScale(header.Dac.MinimumVolts, header.Dac.LsbVolts, header.Dac.CodeCount);
        time = new TickScale(header.ClockHertz);
        line = new BlankLine(header);
        level = header.BlankLevel;
    }

    /// <summary>True if these are the first bytes of a table of voltages.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => firstBytes.StartsWith("time_s,x"u8);

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the table was made.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The table is malformed, not of this machine, or has no last row.</exception>
    public static void Read(
        Stream source,
        string name,
        RecordsHeader header,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CancellationToken cancellation)
    {
        var lines = new Utf8LineReader(new CarrierInput(source), name);
        new VoltsReader(lines, header).Read(header, new PointJoiner(sink, cancellation));
    }

    private void Read(RecordsHeader header, PointJoiner joiner)
    {
        if (!reader.TryRead(out ReadOnlySpan<byte> heading) || !heading.SequenceEqual(Encoding.ASCII.GetBytes(VoltsWriter.Heading)))
        {
            Fail(BackEndCodes.NotThisForm, $"expected the heading {VoltsWriter.Heading}", "make the table with patternc emit");
        }

        joiner.Begin(header);
        (BeamPoint Point, long Start)? before = null;
        while (reader.TryRead(out ReadOnlySpan<byte> row))
        {
            (long tick, BeamPoint next) = ReadRow(row);
            if (before is var (point, start))
            {
                if (tick < start)
                {
                    Fail(BackEndCodes.Malformed, "the time runs backwards", "emit the table again");
                }

                joiner.Add(point with { Ticks = tick - start }, mayContinue: false);
            }

            before = (next, tick);
        }

        if (before is not { Point.IsOn: false })
        {
            Fail(BackEndCodes.Truncated, "the table stops before its last row, which turns the beam off", "emit it again");
        }

        joiner.End();
    }

    private (long Tick, BeamPoint Point) ReadRow(ReadOnlySpan<byte> row)
    {
        Span<Range> parts = stackalloc Range[6];
        int count = 0;
        foreach (Range part in row.Split((byte)','))
        {
            parts[count++] = part;
            if (count == parts.Length)
            {
                break;
            }
        }

        if (count != 5 ||
            !FixedPointText.TryParse(row[parts[0]], TickScale.Decimals, out long picoseconds) ||
            !FixedPointText.TryParse(row[parts[1]], volts.Decimals, out long x) ||
            !FixedPointText.TryParse(row[parts[2]], volts.Decimals, out long y) ||
            row[parts[3]] is not [(byte)'0' or (byte)'1'] ||
            row[parts[4]] is not [(byte)'0' or (byte)'1'])
        {
            Fail(BackEndCodes.Malformed, $"expected {Columns}, found \"{Encoding.UTF8.GetString(row)}\"", "emit the table again");
            return default;
        }

        if (!time.TryTick(picoseconds, out long tick) || !volts.TryCode(x, out int codeX) || !volts.TryCode(y, out int codeY))
        {
            Fail(
                BackEndCodes.NotOfThisMachine,
                "the time is no whole number of ticks, or a voltage is no code of the converter",
                "name the machine file with which the table was made");
            return default;
        }

        bool isOn = row[parts[3]][0] == '1';
        bool isHigh = row[parts[4]][0] == '1';
        return isHigh == line.IsHigh(isOn)
            ? (tick, new BeamPoint(codeX, codeY, 0, isOn))
            : throw BlankLine.Mismatch(new SourcePlace(reader.Name, reader.LineNumber), level, BlankLine.LevelOf(isOn, isHigh), "the row is");
    }

    [DoesNotReturn]
    private void Fail(DiagnosticCode code, string message, string fix) =>
        throw new CompileException(code, message, new SourcePlace(reader.Name, reader.LineNumber), fix);
}
