using System.Text.Json;
using PatternCompiler.Jobs.Provenance;

namespace PatternCompiler.Tests.Jobs.Provenance;

public sealed class ProvenanceOutputsTests
{
    private const string Outputs = """{"outputs": [{"name": "bare"}, 3, {"name": "a.stream", "sha256": "aa"}, {"sha256": "cc"}, {"name": 7, "sha256": "dd"}, {"name": "b.stream", "sha256": "bb"}]}""";

    [Theory]
    [InlineData(Outputs, "aa", "a.stream")]
    [InlineData(Outputs, "bb", "b.stream")]
    [InlineData(Outputs, "ab", null)]
    [InlineData(Outputs, "cc", null)]
    [InlineData(Outputs, "dd", null)]
    [InlineData(Outputs, null, null)]
    [InlineData("""{"outputs": {"name": "a", "sha256": "aa"}}""", "aa", null)]
    [InlineData("{}", "aa", null)]
    [InlineData("[]", "aa", null)]
    [InlineData("4", "aa", null)]
    public void An_output_is_named_by_its_hash(string provenance, string? hash, string? expected)
    {
        using JsonDocument document = JsonDocument.Parse(provenance);
        Assert.Equal(expected, ProvenanceOutputs.NameOf(document.RootElement, hash));
    }

    [Theory]
    [InlineData("""{"settings": {"job": {"file": "chip.yaml"}}}""", "chip.yaml")]
    [InlineData("""{"settings": {"job": {"file": null}}}""", null)]
    [InlineData("""{"settings": {"job": {}}}""", null)]
    [InlineData("""{"settings": {}}""", null)]
    [InlineData("{}", null)]
    public void The_job_is_that_of_the_settings(string provenance, string? expected)
    {
        using JsonDocument document = JsonDocument.Parse(provenance);
        Assert.Equal(expected, ProvenanceOutputs.JobOf(document.RootElement));
    }
}
