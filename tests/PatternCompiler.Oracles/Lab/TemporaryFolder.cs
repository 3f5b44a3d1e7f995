namespace PatternCompiler.Oracles.Lab;

/// <summary>A fresh folder that goes when the test ends.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    private readonly string path = Directory.CreateTempSubdirectory("virtual-lab").FullName;

    public string this[string name] => Path.Combine(path, name);

    public void Write(string name, string text) => File.WriteAllText(this[name], text);

    public void Dispose() => Directory.Delete(path, recursive: true);
}
