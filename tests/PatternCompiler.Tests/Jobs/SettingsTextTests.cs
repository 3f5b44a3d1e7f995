using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

public sealed class SettingsTextTests : IDisposable
{
    private readonly string folder = Directory.CreateTempSubdirectory("settings ").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_file_that_cannot_be_read_says_why()
    {
        string missing = Path.Combine(folder, "none", "m.yaml");
        Assert.Equal(
            $"{missing}: error PC0130: there is no machine file of this name; check the path; in a job file it is relative to the job file's folder", Fault(missing, "machine"));
        Assert.Equal($"{folder}: error PC0130: this is a folder, not a job file; name a file in it", Fault(folder, "job"));
        string there = Path.Combine(folder, "m.yaml");
        File.WriteAllText(there, "machine: m\n");
        Assert.Equal("machine: m\n", SettingsText.Read(there, "machine"));
    }

    private static string Fault(string path, string role) => Assert.Throws<CompileException>(() => SettingsText.Read(path, role)).Message;
}
