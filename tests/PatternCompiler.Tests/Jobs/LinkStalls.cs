using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Tests.Jobs;

/// <summary>How often a controller waits for a block, counted block by block with plain times, for streams of jumps, dots and waits.</summary>
internal static class LinkStalls
{
    public static int Of(Machine machine, (RecordsHeader Header, List<DeflectionRecord> Records) stream)
    {
        int wordBytes = machine.Dac.Bits <= 16 ? 2 : 3;
        long held = machine.Link.Blocks > 0 ? machine.Link.Blocks : machine.Link.BufferBytes / 526;
        var blocks = new List<(int Bytes, double Seconds)>();
        (int bytes, double seconds) = (0, 0);
        foreach (DeflectionRecord record in stream.Records)
        {
            int size = (record.Kind == RecordKind.Wait ? 3 : 5) * wordBytes;
            if (bytes + size > 512)
            {
                blocks.Add((bytes + 14, seconds));
                (bytes, seconds) = (0, 0);
            }

            (bytes, seconds) = (bytes + size, seconds + record.Ticks / stream.Header.ClockHertz);
        }

        blocks.Add((bytes + 14, seconds));

        // When a block has come, and when it is done: it is sent after the one before it, and when its room is free.
        var done = new double[blocks.Count];
        (double sent, int stalls) = (0, 0);
        for (int i = 0; i < blocks.Count; i++)
        {
            double room = i < held ? 0 : done[i - held] + machine.Link.LatencySeconds;
            double come = Math.Max(sent, room) + blocks[i].Bytes / machine.Link.BytesPerSecond;
            sent = come;
            double ready = i == 0 ? come : done[i - 1];
            stalls += come > ready + 1e-12 ? 1 : 0;
            done[i] = Math.Max(come, ready) + blocks[i].Seconds;
        }

        return stalls;
    }
}
