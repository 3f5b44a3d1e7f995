using System.Buffers.Text;
using System.Text;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ValueChange;

/// <summary>
/// Writes the exposure as a value change dump (IEEE 1364) for waveform viewers: both codes, the blank line, the beam, scan-enable, waits
/// and figures, each where it changes. What lasts no time is not seen. It ends with the beam off.
/// </summary>
/// <param name="target">Takes the text; stays open.</param>
internal sealed class DumpWriter(Stream target) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int PointsAtOnce = 1024;
    private const int LongestChange = 512;

    private readonly LinePoint[] points = new LinePoint[PointsAtOnce];
    private readonly byte[] buffer = new byte[1 << 16];
    private int used;
    private DumpTime time;
    private BlankLine line;
    private State now;
    private State? written;
    private long tick;

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        time = new DumpTime(header.ClockHertz);
        line = new BlankLine(header);
        now = new State(header.Dac.CodeCount / 2, header.Dac.CodeCount / 2, IsOn: false, IsWaiting: false, IsScanning: true, Figure: -1);
        target.Write(Encoding.ASCII.GetBytes(DumpFormat.Header(header, time)));
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            // A marker takes no time: of the lines between two records nothing is seen.
            if (record.Kind == RecordKind.Marker)
            {
                now.Figure = record.Ticks;
                continue;
            }

            (now.IsOn, now.IsWaiting) = (record.Points > 0, record.Kind == RecordKind.Wait);
            switch (record.Kind)
            {
                case RecordKind.Line:
                    Trace(record);
                    break;
                case RecordKind.Wait:
                    Hold(record.Ticks);
                    break;
                default:
                    (now.X, now.Y) = (record.X, record.Y);
                    Hold(record.Ticks);
                    break;
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        (now.IsOn, now.IsWaiting, now.IsScanning) = (false, false, false);
        WriteChanges();
        Flush();
    }

    private void Trace(in DeflectionRecord record)
    {
        for (int done = 0; done < record.Points;)
        {
            int count = LinePoints.Expand(record, done, points);
            foreach (ref readonly LinePoint point in points.AsSpan(0, count))
            {
                (now.X, now.Y) = (point.X, point.Y);
                Hold(point.Ticks);
            }

            done += count;
        }
    }

    private void Hold(long ticks)
    {
        if (ticks == 0)
        {
            return;
        }

        if (written != now)
        {
            WriteChanges();
        }

        tick = ticks <= long.MaxValue - tick ? tick + ticks : throw TooLong();
    }

    private void WriteChanges()
    {
        if (!time.TryTime(tick, out long at))
        {
            throw TooLong();
        }

        if (buffer.Length - used < LongestChange)
        {
            Flush();
        }

        Text("#"u8);
        Utf8Formatter.TryFormat(at, buffer.AsSpan(used), out int length);
        used += length;
        Text("\n"u8);
        if (written is State last)
        {
            Changes(last);
        }
        else
        {
            Text("$dumpvars\n"u8);
            Changes(null);
            Text("$end\n"u8);
        }

        written = now;
    }

    /// <summary>What differs from what was; all lines where nothing was.</summary>
    private void Changes(State? last)
    {
        if (now.X != last?.X)
        {
            Number(now.X, DumpFormat.X);
        }

        if (now.Y != last?.Y)
        {
            Number(now.Y, DumpFormat.Y);
        }

        if (now.IsOn != last?.IsOn)
        {
            Level(line.IsHigh(now.IsOn), DumpFormat.Blank);
            Level(now.IsOn, DumpFormat.Beam);
        }

        if (now.IsScanning != last?.IsScanning)
        {
            Level(now.IsScanning, DumpFormat.ScanEnable);
        }

        if (now.IsWaiting != last?.IsWaiting)
        {
            Level(now.IsWaiting, DumpFormat.Wait);
        }

        if (now.Figure != last?.Figure)
        {
            Number(now.Figure, DumpFormat.Figure);
        }
    }

    private void Level(bool isHigh, byte name)
    {
        buffer[used++] = isHigh ? (byte)'1' : (byte)'0';
        buffer[used++] = name;
        buffer[used++] = (byte)'\n';
    }

    private void Number(long value, byte name)
    {
        buffer[used++] = (byte)'b';
        if (value < 0)
        {
            buffer[used++] = (byte)'x';
        }
        else
        {
            for (int bit = value == 0 ? 0 : 63 - (int)long.LeadingZeroCount(value); bit >= 0; bit--)
            {
                buffer[used++] = (byte)('0' + ((value >> bit) & 1));
            }
        }

        buffer[used++] = (byte)' ';
        buffer[used++] = name;
        buffer[used++] = (byte)'\n';
    }

    private void Text(ReadOnlySpan<byte> text)
    {
        text.CopyTo(buffer.AsSpan(used));
        used += text.Length;
    }

    private void Flush()
    {
        target.Write(buffer, 0, used);
        used = 0;
    }

    private static CompileException TooLong() => new(
        BackEndCodes.NotRepresentable, "the exposure lasts longer than the times of a value change dump reach, 2^63 of its steps");

    /// <summary>What is dumped.</summary>
    private record struct State(int X, int Y, bool IsOn, bool IsWaiting, bool IsScanning, long Figure);
}
