using System.Diagnostics;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Drawings that are damaged or made to do harm get one clear error, quickly and in little memory. The promise is two seconds
/// and 500 MB: the runtime is held to 400 MB of its own (a heap beyond that would end in another message), and the time to
/// ten times the promise, since tests may share a machine with other work.
/// </summary>
public sealed class HostileDrawingTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(20);

    // In hexadecimal.
    private static readonly Dictionary<string, string?> Bounded = new() { ["DOTNET_GCHeapHardLimit"] = "19000000" };

    private static readonly Dictionary<string, HostileDrawing> Drawings =
        new[] { HostileTextLayouts.All, HostileDxf.All, HostileSvg.All, HostileGdsii.All, HostileOasis.All }.SelectMany(d => d).ToDictionary(d => d.File);

    public static TheoryData<string> Names => [.. Drawings.Keys];

    [Theory]
    [MemberData(nameof(Names))]
    public void One_clear_error(string name)
    {
        HostileDrawing drawing = Drawings[name];
        using WorkFolder folder = new WorkFolder().With(name, drawing.Bytes());
        long start = Stopwatch.GetTimestamp();
        Outcome outcome = Executable.Run(folder.Path, [drawing.Command, name, "-o", "out"], environment: Bounded);
        TimeSpan time = Stopwatch.GetElapsedTime(start);

        outcome.Expect(1);
        string error = Assert.Single(outcome.Errors.Split('\n'), line => line.Contains("error PC", StringComparison.Ordinal));
        string place = drawing.Message[0] is ':' or ' ' ? name : "";
        Assert.StartsWith(place, error, StringComparison.Ordinal);
        Assert.Contains(drawing.Message, error, StringComparison.Ordinal);
        Assert.DoesNotContain("   at ", outcome.Errors, StringComparison.Ordinal);
        Assert.Equal(name, Assert.Single(folder.Entries));
        Assert.InRange(time, TimeSpan.Zero, Patience);
    }
}
