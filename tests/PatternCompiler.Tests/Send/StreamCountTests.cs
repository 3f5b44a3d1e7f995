using PatternCompiler.Model.Records;
using PatternCompiler.Send;
using PatternCompiler.Tests.BackEnds;

namespace PatternCompiler.Tests.Send;

public sealed class StreamCountTests
{
    // Ticks 5, 7, 11, 13, 17; the marker has a number and no ticks.
    private static readonly DeflectionRecord[] Records =
    [
        DeflectionRecord.Jump(1, 2, 5), DeflectionRecord.Dot(1, 2, 7), DeflectionRecord.Marker(99), DeflectionRecord.Wait(11), DeflectionRecord.Line(1, 2, 3, 4, 3, 13), DeflectionRecord.Jump(1, 2, 17),
    ];

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 5)]
    [InlineData(2, 12)]
    [InlineData(3, 12)]
    [InlineData(5, 36)]
    [InlineData(6, 53)]
    [InlineData(9, 53)]
    public void What_is_skipped_is_counted_whatever_the_pieces(int first, long skipped)
    {
        for (int piece = 1; piece <= Records.Length; piece++)
        {
            var count = new StreamCount(first);
            count.Begin(Exposures.Header(12));
            foreach (DeflectionRecord[] part in Records.Chunk(piece))
            {
                count.Write(part);
            }

            count.End();
            Assert.Equal((new RecordTotals(6, 4, 53), skipped, 1e7), (count.Totals, count.SkippedTicks, count.ClockHertz));
        }
    }
}
