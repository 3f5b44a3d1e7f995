using System.Text.Json;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class BatchReportsTests : IDisposable
{
    private readonly BatchFolder folder = new();

    public void Dispose() => folder.Dispose();

    [Fact]
    public void The_dependency_file_has_a_rule_per_entry_in_make_s_own_escapes()
    {
        folder.WriteJob("a.yaml");
        folder.Write("b c#$.yaml", "job: b\nsources: [chip.layout]\noutputs: [{file: 'b c.stream', format: stream}]\n");
        folder.Write("wrong.yaml", "job: w\n");
        Assert.Equal(
            """
            a.stream: \
              a.yaml \
              machine.yaml \
              chip.layout
            b\ c.stream: \
              b\ c\#$$.yaml \
              chip.layout

            a.yaml:

            b\ c\#$$.yaml:

            chip.layout:

            machine.yaml:

            """,
            System.Text.Encoding.UTF8.GetString(DependencyFile.Print(folder.Run(folder.Jobs("a.yaml", "b c#$.yaml", "wrong.yaml")), folder.Root)));
    }

    [Fact]
    public void The_result_can_be_read_by_scripts()
    {
        folder.WriteJob("a.yaml");
        folder.Write("wrong.yaml", "job: w\n");
        BatchPlan plan = folder.Jobs("a.yaml", "wrong.yaml");
        var text = new MemoryStream();
        BatchJson.Write(plan, folder.Run(plan), text);
        using JsonDocument json = JsonDocument.Parse(text.ToArray());
        JsonElement root = json.RootElement;
        Assert.Equal((1, 0, 1), (root.GetProperty("built").GetInt32(), root.GetProperty("upToDate").GetInt32(), root.GetProperty("failed").GetInt32()));
        JsonElement first = root.GetProperty("entries")[0];
        Assert.Equal("built", first.GetProperty("outcome").GetString());
        Assert.Equal(folder.PathOf("a.stream"), first.GetProperty("outputs")[0].GetProperty("path").GetString());
        Assert.Equal("job,values,outcome,reasons,inputs,outputs,messages,summary", string.Join(',', first.EnumerateObject().Select(member => member.Name)));
        Assert.All(first.GetProperty("inputs").EnumerateArray().Concat(first.GetProperty("outputs").EnumerateArray()), file =>
        {
            byte[] bytes = File.ReadAllBytes(file.GetProperty("path").GetString()!);
            Assert.Equal((bytes.Length, Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bytes))), (file.GetProperty("bytes").GetInt32(), file.GetProperty("sha256").GetString()));
        });
        Assert.Equal("machine,process,figures,strokes,records,chargeCoulombs,writeSeconds", string.Join(',', first.GetProperty("summary").EnumerateObject().Select(member => member.Name)));
        Assert.Equal("error", root.GetProperty("entries")[1].GetProperty("messages")[0].GetProperty("severity").GetString());
    }
}
