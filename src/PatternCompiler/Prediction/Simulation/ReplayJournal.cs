using PatternCompiler.Model.Records;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>
/// The records of an exposure as they were played, in pages. Each page keeps the replay as it stood at its start, so that it can be played
/// again alone, by any thread, and gives the same charge. A record takes about ten bytes: its kind, then <see cref="PackedNumbers"/>, most of
/// them differences from the place before.
/// </summary>
internal sealed class ReplayJournal
{
    private const int PointsOfPage = 2048;
    private const int LongestRecord = 1 + 6 * PackedNumbers.Longest;
    private const byte EndOfExposure = byte.MaxValue;

    private readonly List<(ExposureReplay Start, byte[] Records)> pages = [];
    private readonly byte[] open = new byte[LongestRecord * (PointsOfPage + 1)];
    private ExposureReplay? start;
    private int used;
    private int points;
    private int lastX;
    private int lastY;

    /// <summary>The page that is being written, from 0.</summary>
    public int Page => pages.Count;

    /// <summary>Keeps a record that is about to be played.</summary>
    /// <param name="record">The record.</param>
    /// <param name="replay">The replay as it stands before.</param>
    public void Add(in DeflectionRecord record, ExposureReplay replay)
    {
        if (record.Kind == RecordKind.Marker)
        {
            return;
        }

        if (points >= PointsOfPage)
        {
            EndPage();
        }

        start ??= replay.Copy();
        points += 1 + record.Points;
        open[used++] = (byte)record.Kind;
        if (record.Kind is RecordKind.Jump or RecordKind.Dot or RecordKind.Line)
        {
            Put((long)record.X - lastX);
            Put((long)record.Y - lastY);
            (lastX, lastY) = (record.EndX, record.EndY);
        }

        if (record.Kind == RecordKind.Line)
        {
            Put((long)record.EndX - record.X);
            Put((long)record.EndY - record.Y);
            Put(record.Points);
        }

        Put(record.Ticks);
    }

    /// <summary>Keeps that the exposure ends here.</summary>
    /// <param name="replay">The replay as it stands before.</param>
    public void AddEnd(ExposureReplay replay)
    {
        start ??= replay.Copy();
        open[used++] = EndOfExposure;
    }

    /// <summary>What follows belongs to a page of its own.</summary>
    public void EndPage()
    {
        if (start is null)
        {
            return;
        }

        pages.Add((start, open.AsSpan(0, used).ToArray()));
        start = null;
        (used, points, lastX, lastY) = (0, 0, 0, 0);
    }

    /// <summary>Plays a page again, its charge into a part of the map.</summary>
    public void Play(int page, ChargeRegion region)
    {
        (ExposureReplay from, ReadOnlySpan<byte> left) = pages[page];
        ExposureReplay replay = from.Into(region);
        (int x, int y) = (0, 0);
        while (left.Length > 0)
        {
            byte kind = left[0];
            left = left[1..];
            switch ((RecordKind)kind)
            {
                case RecordKind.Jump:
                    replay.Play(DeflectionRecord.Jump(x += (int)Take(ref left), y += (int)Take(ref left), Take(ref left)));
                    break;
                case RecordKind.Dot:
                    replay.Play(DeflectionRecord.Dot(x += (int)Take(ref left), y += (int)Take(ref left), Take(ref left)));
                    break;
                case RecordKind.Line:
                    (int fromX, int fromY) = (x + (int)Take(ref left), y + (int)Take(ref left));
                    (x, y) = (fromX + (int)Take(ref left), fromY + (int)Take(ref left));
                    replay.Play(DeflectionRecord.Line(fromX, fromY, x, y, (int)Take(ref left), Take(ref left)));
                    break;
                case RecordKind.Wait:
                    replay.Play(DeflectionRecord.Wait(Take(ref left)));
                    break;
                case RecordKind.Trigger:
                    replay.Play(DeflectionRecord.Trigger(Take(ref left)));
                    break;
                default:
                    replay.PlayEnd();
                    break;
            }
        }
    }

    private void Put(long value) => PackedNumbers.Put(value, open, ref used);

    private static long Take(ref ReadOnlySpan<byte> bytes) => PackedNumbers.Take(ref bytes);
}
