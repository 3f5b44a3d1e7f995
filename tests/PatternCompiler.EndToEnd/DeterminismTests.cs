namespace PatternCompiler.EndToEnd;

/// <summary>Same input, same bytes: twice, in any locale, with any number of threads.</summary>
public sealed class DeterminismTests
{
    private static readonly string[][] Stages =
    [
        ["parse", "a.dxf"],
        ["fracture", "a.layout"],
        ["fracture", "a.layout", "--binary"],
        ["preview", "a.layout", "--format", "svg"],
        ["preview", "a.layout"],
        ["generate", "zone-plate", "--focus", "60.5 um"],
    ];

    [Theory]
    [InlineData("LANG", "de_DE.UTF-8")]
    [InlineData("LC_ALL", "tr_TR.UTF-8")]
    [InlineData("LC_ALL", "C")]
    [InlineData("DOTNET_PROCESSOR_COUNT", "1")]
    [InlineData("DOTNET_PROCESSOR_COUNT", "7")]
    [InlineData("TZ", "Asia/Tokyo")]
    public void The_environment_changes_no_byte(string variable, string value)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout).With("a.dxf", Patterns.Dxf);
        foreach (string[] stage in Stages)
        {
            byte[] plain = Executable.Run(folder.Path, stage).Expect(0).OutputBytes;
            var environment = new Dictionary<string, string?> { [variable] = value, ["DOTNET_SYSTEM_GLOBALIZATION_INVARIANT"] = null };
            Outcome changed = Executable.Run(folder.Path, stage, environment: environment).Expect(0);
            Assert.Equal(plain, changed.OutputBytes);
            Assert.NotEmpty(plain);
        }
    }

    [Fact]
    public void Expected_outputs_of_a_batch_hold_for_two_cultures_and_two_numbers_of_threads()
    {
        using var folder = new WorkFolder();
        Repository.CopyTo(folder, "examples/humidity-sensor", ".");
        folder.With("all.yaml", "batch: both machines\njobs: [job.yaml]\nvary: {machine: [machine-16bit.yaml, machine-12bit.yaml], line_pitch: [50 nm]}\nfolder: 'out/{machine}'\n");
        Executable.Run(folder.Path, ["batch", "all.yaml"]).Expect(0);
        Directory.Move(folder["out"], folder["golden"]);
        foreach ((string culture, string threads, string parallel) in (ReadOnlySpan<(string, string, string)>)[("de_DE.UTF-8", "1", "1"), ("tr_TR.UTF-8", "4", "4")])
        {
            var environment = new Dictionary<string, string?>
            {
                ["LC_ALL"] = culture, ["DOTNET_PROCESSOR_COUNT"] = threads, ["DOTNET_SYSTEM_GLOBALIZATION_INVARIANT"] = null,
            };
            Executable.Run(folder.Path, ["batch", "all.yaml", "--parallel", parallel], environment: environment).Expect(0);
            Executable.Shell(folder.Path, "diff -r golden out && test -s out/machine-12bit/humidity-sensor.stream && rm -r out").Expect(0);
        }
    }

    [Theory]
    [InlineData("1,5 nm")]
    [InlineData("1.234,5 nm")]
    [InlineData("1 234 nm")]
    public void A_comma_is_never_a_decimal_point_and_never_ignored(string pitch)
    {
        using WorkFolder folder = new WorkFolder().With("a.layout", Patterns.Layout);
        var environment = new Dictionary<string, string?> { ["LC_ALL"] = "de_DE.UTF-8", ["LANG"] = "de_DE.UTF-8" };
        Outcome outcome = Executable.Run(folder.Path, ["fill", "a.figures", "--line-pitch", pitch], environment: environment).Expect(2);
        Assert.StartsWith("patternc fill: error PC0001: option '--line-pitch' needs a length or a number of codes, ", outcome.Errors, StringComparison.Ordinal);
    }
}
