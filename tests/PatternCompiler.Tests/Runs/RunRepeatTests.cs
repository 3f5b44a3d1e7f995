using System.Security.Cryptography;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Runs;
using PatternCompiler.Tests.Jobs;

namespace PatternCompiler.Tests.Runs;

/// <summary>A job that is built again for a run: the same bytes, or what differs from then.</summary>
public sealed class RunRepeatTests
{
    private const string Outputs = "outputs: [{file: a.words, format: words}, {file: a.stream, format: stream}]\n";
    private const string Drawing = "layout 1\nunit um\nlayer a\nrect on a from (0, 0) to (1, 2)\n";

    [Theory]
    [InlineData("a.stream")]
    [InlineData("a.words")]
    public void What_was_sent_comes_out_again_byte_by_byte(string sent)
    {
        (byte[] bytes, JsonElement provenance) = Sent(sent);
        using var target = new MemoryStream();
        RunRepeat repeat = RunRepeat.Build((Hash(bytes), provenance), Settings(), Files(Drawing), target, new DiagnosticSink(), CancellationToken.None);
        Assert.Empty(repeat.Differences);
        Assert.Equal((sent, Hash(bytes)), (repeat.Output!.Path, repeat.Output.Hash));
        Assert.Equal(bytes, target.ToArray());
    }

    [Theory]
    [InlineData("drawing", "inputs")]
    [InlineData("settings", "settings")]
    [InlineData("version", "toolVersion")]
    public void What_differs_from_then_is_told_and_nothing_that_follows_from_it(string changed, string place)
    {
        (byte[] bytes, JsonElement provenance) = Sent("a.stream");
        BuildSettings settings = Settings();
        settings = changed switch
        {
            "settings" => settings with { Machine = settings.Machine with { Beam = settings.Machine.Beam with { CurrentAmperes = 90e-12 } } },
            "version" => settings with { ToolVersion = "9.9.9" },
            _ => settings,
        };
        using var target = new MemoryStream();
        string drawing = changed == "drawing" ? Drawing.Replace("(1, 2)", "(1, 2.5)", StringComparison.Ordinal) : Drawing;
        RunRepeat repeat = RunRepeat.Build((Hash(bytes), provenance), settings, Files(drawing), target, new DiagnosticSink(), CancellationToken.None);
        Assert.NotEmpty(repeat.Differences);
        Assert.All(repeat.Differences, item => Assert.StartsWith(place, item.Place, StringComparison.Ordinal));
        Assert.DoesNotContain(repeat.Differences, item => item.Place.EndsWith("bytes", StringComparison.Ordinal));
        Assert.NotEqual(0, target.Length);
        Assert.Equal(changed == "version", repeat.Output is not null && target.ToArray().AsSpan().SequenceEqual(bytes));
    }

    /// <summary>Inputs and settings are the same and the bytes are not: what the build made of them is told.</summary>
    [Fact]
    public void Other_bytes_without_a_cause_are_told_as_they_are()
    {
        (byte[] bytes, JsonElement provenance) = Sent("a.stream");
        string forged = provenance.GetRawText().Replace(Hash(bytes), new string('0', 64), StringComparison.Ordinal);
        using JsonDocument other = JsonDocument.Parse(forged);
        using var target = new MemoryStream();
        RunRepeat repeat = RunRepeat.Build((new string('0', 64), other.RootElement), Settings(), Files(Drawing), target, new DiagnosticSink(), CancellationToken.None);
        Assert.Null(repeat.Output);
        Assert.NotEmpty(repeat.Differences);
        Assert.All(repeat.Differences, item => Assert.StartsWith("outputs", item.Place, StringComparison.Ordinal));
        Assert.Equal(bytes, target.ToArray());
    }

    private static (byte[] Bytes, JsonElement Provenance) Sent(string output)
    {
        MemoryFiles files = Files(Drawing);
        BuildSettings settings = Settings();
        BuildRunner.Run(settings with { Job = settings.Job with { ProvenancePath = "p.json" } }, files, new DiagnosticSink(), CancellationToken.None);
        return (files.Written[output], JsonDocument.Parse(files.Written["p.json"]).RootElement);
    }

    private static BuildSettings Settings() => RunCase.Settings(Outputs) with { ToolVersion = "1.2.3" };

    private static MemoryFiles Files(string drawing) => new MemoryFiles().With("a.layout", drawing);

    private static string Hash(byte[] bytes) => Convert.ToHexStringLower(SHA256.HashData(bytes));
}
