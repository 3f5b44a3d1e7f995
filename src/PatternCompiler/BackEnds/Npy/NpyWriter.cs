using System.Buffers.Binary;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Npy;

/// <summary>
/// Writes the exposure point by point as an array file for numerical programs: a row for each point with the codes x and
/// y in natural order, ticks, whether the beam is on, and whether the blank line is high. Whatever plays it may hold the last
/// row, so one more of a tick turns the beam off.
/// </summary>
internal sealed class NpyWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly PointExpander expander;

    /// <summary>Writes to a stream that can go back to fill in the number of rows; it stays open.</summary>
    public NpyWriter(Stream target)
    {
        if (!target.CanSeek)
        {
            throw new CompileException(
                BackEndCodes.NotRepresentable,
                "an array file states its length at its beginning, so it cannot be written to a pipe",
                fix: "write it to a file");
        }

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
        private const int RowsAtOnce = 4096;

        private readonly byte[] buffer = new byte[RowsAtOnce * NpyFormat.RowBytes];
        private readonly long start = target.Position;
        private int used;
        private long rows;
        private BlankLine line;
        private BeamPoint last;

        public void Begin(RecordsHeader header)
        {
            line = new BlankLine(header);
            target.Write(NpyFormat.Header(0));
        }

        public void Write(ReadOnlySpan<BeamPoint> items)
        {
            foreach (ref readonly BeamPoint point in items)
            {
                if (used == buffer.Length)
                {
                    Flush();
                }

                Span<byte> row = buffer.AsSpan(used, NpyFormat.RowBytes);
                BinaryPrimitives.WriteInt32LittleEndian(row, point.X);
                BinaryPrimitives.WriteInt32LittleEndian(row[NpyFormat.YOffset..], point.Y);
                BinaryPrimitives.WriteInt64LittleEndian(row[NpyFormat.TicksOffset..], point.Ticks);
                row[NpyFormat.BeamOffset] = point.IsOn ? (byte)1 : (byte)0;
                row[NpyFormat.BlankOffset] = line.IsHigh(point.IsOn) ? (byte)1 : (byte)0;
                used += NpyFormat.RowBytes;
                rows++;
                last = point;
            }
        }

        public void End()
        {
            if (last.IsOn)
            {
                Write([last with { IsOn = false, Ticks = 1 }]);
            }

            Flush();
            long end = target.Position;
            target.Position = start;
            target.Write(NpyFormat.Header(rows));
            target.Position = end;
        }

        private void Flush()
        {
            target.Write(buffer, 0, used);
            used = 0;
        }
    }
}
