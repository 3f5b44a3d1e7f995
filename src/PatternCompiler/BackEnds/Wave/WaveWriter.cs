using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Wave;

/// <summary>
/// Writes the exposure as a sound file of three channels, for players of sampled data: one frame per clock tick, so the
/// machine's clock is the sample rate. A player holds the last frame, so one more turns the beam off.
/// </summary>
internal sealed class WaveWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly PointExpander expander;
    private readonly DiagnosticSink? sink;

    /// <summary>
    /// Writes to a stream, which stays open. Where the stream cannot go back to fill in the sizes they are left
    /// unknown.
    /// </summary>
    /// <param name="target">Takes the bytes.</param>
    /// <param name="sink">Is told what the player's outputs have to be.</param>
    public WaveWriter(Stream target, DiagnosticSink? sink = null)
    {
        expander = new PointExpander(new PointSink(target));
        this.sink = sink;
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => expander.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items) => expander.Write(items);

    /// <inheritdoc/>
    public void End()
    {
        expander.End();
        sink?.Note(BackEndCodes.NeedsDirectCoupling, "X, Y and blank of a sound file are levels that last: the player's outputs have to be DC coupled");
    }

    private sealed class PointSink(Stream target) : IDocumentSink<RecordsHeader, BeamPoint>
    {
        private const int BufferBytes = 1 << 16;
        private const long LargestData = uint.MaxValue - WaveFormat.HeaderBytes - 1;

        private readonly byte[] buffer = new byte[BufferBytes];
        private readonly long start = target.CanSeek ? target.Position : 0;
        private Dac dac = null!;
        private BlankLine line;
        private int sampleBytes;
        private int used;
        private long dataBytes;
        private BeamPoint last;

        public void Begin(RecordsHeader header)
        {
            if (header.ClockHertz != Math.Floor(header.ClockHertz) || header.ClockHertz > uint.MaxValue)
            {
                throw new CompileException(
                    BackEndCodes.NotRepresentable,
                    "a sound file's sample rate is a whole number of hertz up to 4294967295, and the clock is not",
                    fix: "set the machine's clock to the player's sample rate");
            }

            dac = header.Dac;
            line = new BlankLine(header);
            sampleBytes = WaveFormat.SampleBytes(dac);
            target.Write(WaveFormat.Header(dac, (uint)header.ClockHertz, -1));
        }

        public void Write(ReadOnlySpan<BeamPoint> items)
        {
            int frame = WaveFormat.Channels * sampleBytes;
            int shift = 8 * sampleBytes - dac.Bits;
            int largest = (1 << (8 * sampleBytes - 1)) - 1;
            foreach (ref readonly BeamPoint point in items)
            {
                if (point.Ticks > (LargestData - dataBytes) / frame)
                {
                    throw new CompileException(
                        BackEndCodes.NotRepresentable,
                        "the exposure has more clock ticks than a sound file of 4 GiB holds frames",
                        fix: "set the machine's clock to the player's sample rate, or emit another format");
                }

                // What lasts no time gets no frame, so it does not turn the beam off either.
                dataBytes += point.Ticks * frame;
                last = point.Ticks > 0 ? point : last;
                for (long i = 0; i < point.Ticks; i++)
                {
                    if (buffer.Length - used < frame)
                    {
                        Flush();
                    }

                    Sample((point.X - dac.CodeCount / 2) << shift);
                    Sample((point.Y - dac.CodeCount / 2) << shift);
                    Sample(line.IsHigh(point.IsOn) ? largest : -largest - 1);
                }
            }
        }

        public void End()
        {
            if (last.IsOn)
            {
                Write([last with { IsOn = false, Ticks = 1 }]);
            }

            Flush();
            if (dataBytes % 2 != 0)
            {
                target.WriteByte(0);
            }

            if (!target.CanSeek)
            {
                return;
            }

            long end = target.Position;
            Span<byte> header = stackalloc byte[WaveFormat.HeaderBytes];
            WaveFormat.WriteSizes(header, dataBytes);
            target.Position = start + WaveFormat.RiffSizeOffset;
            target.Write(header.Slice(WaveFormat.RiffSizeOffset, sizeof(uint)));
            target.Position = start + WaveFormat.DataSizeOffset;
            target.Write(header.Slice(WaveFormat.DataSizeOffset, sizeof(uint)));
            target.Position = end;
        }

        private void Sample(int sample)
        {
            for (int i = 0; i < sampleBytes; i++)
            {
                buffer[used++] = (byte)(sample >> (8 * i));
            }
        }

        private void Flush()
        {
            target.Write(buffer, 0, used);
            used = 0;
        }
    }
}
