using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Words;

/// <summary>
/// Writes bare binary words, point by point, for controllers that take nothing else: no header, no checksum, no end. Where the
/// words hold the blank line or a scan-enable line, one more point of a tick turns the beam off and the scan down: controllers
/// hold the last word. The blank field has the level that the records' header states. A dwell longer than its field is split into several points at the same place with the beam unchanged.
/// </summary>
internal sealed class WordsWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly PointExpander expander;

    /// <summary>Writes to a stream, which stays open.</summary>
    /// <param name="target">Where to.</param>
    /// <param name="layout">The words, or null for the plain layout of the converter's width.</param>
    public WordsWriter(Stream target, WordLayout? layout)
    {
        expander = new PointExpander(new PointSink(target, layout));
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header) => expander.Begin(header);

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items) => expander.Write(items);

    /// <inheritdoc/>
    public void End() => expander.End();

    private sealed class PointSink(Stream target, WordLayout? wanted) : IDocumentSink<RecordsHeader, BeamPoint>
    {
        private const int BufferBytes = 1 << 16;

        private readonly byte[] buffer = new byte[BufferBytes];
        private WordPlan plan = null!;
        private int bytesPerPoint;
        private int used;
        private BeamPoint? last;

        public void Begin(RecordsHeader header)
        {
            WordLayout layout = wanted ?? WordLayout.For(header.Dac);
            if (layout.FaultOf(header.Dac) is string fault)
            {
                throw new CompileException(BackEndCodes.BadWordLayout, fault, fix: "correct the word layout in the machine file");
            }

            plan = new WordPlan(layout, header);
            bytesPerPoint = layout.BytesPerPoint;
        }

        public void Write(ReadOnlySpan<BeamPoint> items)
        {
            foreach (ref readonly BeamPoint point in items)
            {
                // At least one point, so that a move without settling is not lost where there is a dwell to say "0".
                long left = point.Ticks;
                long longest = Math.Max(plan.LongestDwell, 1);
                if (left == 0 && plan.LongestDwell == 0)
                {
                    continue;
                }

                // Only what is written can be what turns the beam off.
                last = point;
                do
                {
                    uint ticks = (uint)Math.Min(left, longest);
                    Put(point, ticks, isScanning: true);
                    left -= ticks;
                }
                while (left > 0);
            }
        }

        public void End()
        {
            if (last is BeamPoint end && (plan.HasScan || (plan.HasBlank && end.IsOn)))
            {
                Put(end with { IsOn = false }, ticks: 1, isScanning: false);
            }

            Flush();
        }

        private void Put(in BeamPoint point, uint ticks, bool isScanning)
        {
            if (buffer.Length - used < bytesPerPoint)
            {
                Flush();
            }

            plan.Write(point.X, point.Y, ticks, point.IsOn, isScanning, buffer.AsSpan(used, bytesPerPoint));
            used += bytesPerPoint;
        }

        private void Flush()
        {
            target.Write(buffer, 0, used);
            used = 0;
        }
    }
}
