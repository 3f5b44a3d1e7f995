using System.Diagnostics.CodeAnalysis;
using System.Text;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ValueChange;

/// <summary>
/// Reads a value change dump that <see cref="DumpWriter"/> made back into dots, jumps and markers; what follows each other without a change is one
/// record. It says nothing of the machine but what its header repeats, so the machine has to be given.
/// </summary>
internal sealed class DumpReader
{
    private readonly Utf8LineReader reader;
    private readonly RecordsHeader header;
    private readonly DumpTime time;
    private readonly BlankLine line;
    private readonly long[] values = new long['Z'];

    private DumpReader(Utf8LineReader reader, RecordsHeader header)
    {
        this.reader = reader;
        this.header = header;
        time = new DumpTime(header.ClockHertz);
        line = new BlankLine(header);
        values.AsSpan().Fill(-1);
    }

    /// <summary>True if these are the first bytes of a dump of an exposure.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => firstBytes.StartsWith("$version"u8);

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the dump was made.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The dump is malformed, not of this machine, or cut short.</exception>
    public static void Read(
        Stream source, string name, RecordsHeader header, IDocumentSink<RecordsHeader, DeflectionRecord> sink, CancellationToken cancellation) =>
        new DumpReader(new Utf8LineReader(new CarrierInput(source), name) { KeepsHashes = true }, header).Read(new PointJoiner(sink, cancellation));

    private void Read(PointJoiner joiner)
    {
        ReadHeader();
        joiner.Begin(header);
        long start = -1;
        long figure = -1;
        while (reader.TryRead(out ReadOnlySpan<byte> row))
        {
            if (row[0] != '#')
            {
                ReadChange(row);
                continue;
            }

            long next = ReadTick(row[1..]);
            if (start >= 0)
            {
                BeamPoint point = PointAt();
                if (figure != values[DumpFormat.Figure])
                {
                    figure = values[DumpFormat.Figure];
                    joiner.AddMarker(figure);
                }

                joiner.Add(point with { Ticks = next - start }, mayContinue: true);
            }
            else if (next != 0)
            {
                Fail(BackEndCodes.Malformed, "the dump does not begin at time 0", "emit it again");
            }

            if (next <= start)
            {
                Fail(BackEndCodes.Malformed, "the time does not go on", "emit the dump again");
            }

            start = next;
        }

        if (start < 0 || PointAt().IsOn || values[DumpFormat.ScanEnable] != 0)
        {
            Fail(BackEndCodes.Truncated, "the dump stops before its last time, which lowers scan-enable with the beam off", "emit it again");
        }

        joiner.End();
    }

    private void ReadHeader()
    {
        foreach (string expected in DumpFormat.Header(header, time).TrimEnd('\n').Split('\n'))
        {
            string wanted = expected.TrimStart(' ');
            if (!reader.TryRead(out ReadOnlySpan<byte> row))
            {
                Fail(BackEndCodes.Truncated, "the dump stops within its header", "emit it again");
            }

            string found = Encoding.UTF8.GetString(row).Trim();
            if (found == wanted)
            {
                continue;
            }

            if (reader.LineNumber == 1)
            {
                Fail(BackEndCodes.NotThisForm, $"expected {wanted}", "make the dump with patternc emit");
            }

            if (wanted.StartsWith("blank: ", StringComparison.Ordinal))
            {
                BlankLevel level = found.Contains("no blanker", StringComparison.Ordinal) ? BlankLevel.NoBlanker
                    : found.Contains("low", StringComparison.Ordinal) ? BlankLevel.Low : BlankLevel.High;
                throw BlankLine.Mismatch(new SourcePlace(reader.Name, reader.LineNumber), header.BlankLevel, level, "the dump is");
            }

            Fail(BackEndCodes.NotOfThisMachine, $"expected \"{wanted}\", found \"{found}\"", "name the machine file with which the dump was made");
        }
    }

    private void ReadChange(ReadOnlySpan<byte> row)
    {
        if (row.SequenceEqual("$dumpvars"u8) || row.SequenceEqual("$end"u8))
        {
            return;
        }

        if (row is [(byte)'0' or (byte)'1', DumpFormat.Blank or DumpFormat.Beam or DumpFormat.ScanEnable or DumpFormat.Wait])
        {
            values[row[1]] = row[0] - '0';
            return;
        }

        if (row is [(byte)'b', .. var digits, (byte)' ', DumpFormat.X or DumpFormat.Y or DumpFormat.Figure])
        {
            bool isFigure = row[^1] == DumpFormat.Figure;
            if (isFigure && digits.SequenceEqual("x"u8))
            {
                return;
            }

            if (digits.Length > 0 && digits.Length <= (isFigure ? DumpFormat.FigureBits - 1 : header.Dac.Bits) && !digits.ContainsAnyExcept((byte)'0', (byte)'1'))
            {
                long value = 0;
                foreach (byte digit in digits)
                {
                    value = 2 * value + (digit - '0');
                }

                values[row[^1]] = value;
                return;
            }
        }

        Fail(BackEndCodes.Malformed, $"expected a time, a level or a code, found \"{Encoding.UTF8.GetString(row)}\"", "emit the dump again");
    }

    private long ReadTick(ReadOnlySpan<byte> digits)
    {
        if (!System.Buffers.Text.Utf8Parser.TryParse(digits, out long at, out int read) || read != digits.Length || at < 0)
        {
            Fail(BackEndCodes.Malformed, $"expected a time, found \"#{Encoding.UTF8.GetString(digits)}\"", "emit the dump again");
        }

        if (!time.TryTick(at, out long tick))
        {
            Fail(BackEndCodes.NotOfThisMachine, "the time is no whole number of ticks", "name the machine file with which the dump was made");
        }

        return tick;
    }

    private BeamPoint PointAt()
    {
        ReadOnlySpan<long> all = values;
        if (all[DumpFormat.X] < 0 || all[DumpFormat.Y] < 0 || all[DumpFormat.Blank] < 0 || all[DumpFormat.Beam] < 0 || all[DumpFormat.ScanEnable] < 0)
        {
            Fail(BackEndCodes.Malformed, "not every line has a value at time 0", "emit the dump again");
        }

        bool isOn = all[DumpFormat.Beam] == 1;
        return line.IsHigh(isOn) == (all[DumpFormat.Blank] == 1)
            ? new BeamPoint((int)all[DumpFormat.X], (int)all[DumpFormat.Y], 0, isOn)
            : throw BlankLine.Mismatch(
                new SourcePlace(reader.Name, reader.LineNumber), header.BlankLevel, BlankLine.LevelOf(isOn, all[DumpFormat.Blank] == 1), "the value is");
    }

    [DoesNotReturn]
    private void Fail(DiagnosticCode code, string message, string fix) =>
        throw new CompileException(code, message, new SourcePlace(reader.Name, reader.LineNumber), fix);
}
