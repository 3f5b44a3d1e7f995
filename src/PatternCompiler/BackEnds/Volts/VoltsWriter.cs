using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Volts;

/// <summary>
/// Writes output voltages over time as comma-separated values, for plotting and for instruments that take them: a
/// heading, then a row for each point with the time at which it starts, and a last row with the end and the beam off. Beam is 1
/// with the beam on; blank is 1 with the blank line high.
/// </summary>
internal sealed class VoltsWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    /// <summary>The first line.</summary>
    internal const string Heading = "time_s,x_V,y_V,beam,blank";

    private readonly PointExpander expander;

    /// <summary>Writes to a stream, which stays open.</summary>
    public VoltsWriter(Stream target)
    {
        expander = new PointExpander(new PointSink(target));
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => expander.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items) => expander.Write(items);

    /// <inheritdoc/>
    public void End() => expander.End();

    private sealed class PointSink(Stream target) : IDocumentSink<RecordsHeader, BeamPoint>
    {
        private const int LongestRow = 128;
        private const int BufferBytes = 1 << 16;

        private readonly byte[] buffer = new byte[BufferBytes];
        private CodeScale volts = null!;
        private TickScale time;
        private BlankLine line;
        private BeamPoint last;
        private long tick;
        private int used;

        public void Begin(RecordsHeader header)
        {
            volts = new CodeScale(header.Dac.MinimumVolts, header.Dac.LsbVolts, header.Dac.CodeCount);
            time = new TickScale(header.ClockHertz);
            line = new BlankLine(header);
            last = new BeamPoint(header.Dac.CodeCount / 2, header.Dac.CodeCount / 2, 0, false);
            Text(Heading);
            buffer[used++] = (byte)'\n';
        }

        public void Write(ReadOnlySpan<BeamPoint> items)
        {
            foreach (ref readonly BeamPoint point in items)
            {
                Row(point);
                tick += point.Ticks;
                last = point;
            }
        }

        public void End()
        {
            Row(last with { IsOn = false });
            Flush();
        }

        private void Row(in BeamPoint point)
        {
            if (!time.TryPicoseconds(tick, out long picoseconds))
            {
                throw new CompileException(BackEndCodes.NotRepresentable, "the exposure lasts longer than 100 days");
            }

            if (buffer.Length - used < LongestRow)
            {
                Flush();
            }

            Number(picoseconds, TickScale.Decimals);
            Number(volts.ScaledOf(point.X), volts.Decimals);
            Number(volts.ScaledOf(point.Y), volts.Decimals);
            buffer[used++] = point.IsOn ? (byte)'1' : (byte)'0';
            buffer[used++] = (byte)',';
            buffer[used++] = line.IsHigh(point.IsOn) ? (byte)'1' : (byte)'0';
            buffer[used++] = (byte)'\n';
        }

        private void Number(long scaled, int decimals)
        {
            used += FixedPointText.Format(scaled, decimals, buffer.AsSpan(used));
            buffer[used++] = (byte)',';
        }

        private void Text(string text)
        {
            foreach (char character in text)
            {
                buffer[used++] = (byte)character;
            }
        }

        private void Flush()
        {
            target.Write(buffer, 0, used);
            used = 0;
        }
    }
}
