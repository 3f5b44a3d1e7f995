using PatternCompiler.Geometry.Sweep;

namespace PatternCompiler.Tests.Geometry.Sweep;

public sealed class ParallelWorkTests
{
    /// <summary>Two parts that wait for each other both end only where they run side by side.</summary>
    [Fact]
    public void Several_threads_work_at_once()
    {
        using var meeting = new Barrier(2);
        int met = 0;
        ParallelWork.For(2, 2, _ => Interlocked.Add(ref met, meeting.SignalAndWait(TimeSpan.FromSeconds(20)) ? 1 : 0), CancellationToken.None);
        Assert.Equal(2, met);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    public void Every_part_runs_once_and_a_cancelled_work_stops(int threads)
    {
        int[] runs = new int[50];
        ParallelWork.For(runs.Length, threads, part => Interlocked.Increment(ref runs[part]), CancellationToken.None);
        Assert.All(runs, count => Assert.Equal(1, count));
        Assert.ThrowsAny<OperationCanceledException>(() => ParallelWork.For(2, threads, _ => Assert.Fail("is not to run"), new CancellationToken(canceled: true)));
    }
}
