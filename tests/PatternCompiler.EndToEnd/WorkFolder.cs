using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>A fresh folder for one test, removed afterwards.</summary>
internal sealed class WorkFolder : IDisposable
{
    public WorkFolder()
    {
        Path = Directory.CreateTempSubdirectory("patternc-test-").FullName;
    }

    public string Path { get; }

    /// <summary>Names of everything in it, hidden files included, in order.</summary>
    public string[] Entries => [.. Directory.EnumerateFileSystemEntries(Path, "*", SearchOption.AllDirectories)
        .Select(entry => System.IO.Path.GetRelativePath(Path, entry))
        .Order(StringComparer.Ordinal)];

    /// <summary>Path of a file in it.</summary>
    public string this[string name] => System.IO.Path.Combine(Path, name);

    public WorkFolder With(string name, string text) => With(name, Encoding.UTF8.GetBytes(text));

    public WorkFolder With(string name, byte[] bytes)
    {
        Directory.CreateDirectory(System.IO.Path.GetDirectoryName(this[name])!);
        File.WriteAllBytes(this[name], bytes);
        return this;
    }

    public byte[] Read(string name) => File.ReadAllBytes(this[name]);

    /// <summary>Runs the program in it.</summary>
    public Outcome Run(params string[] arguments) => Executable.Run(Path, arguments);

    /// <summary>Runs the program in it with standard input.</summary>
    public Outcome Pipe(byte[] input, params string[] arguments) => Executable.Run(Path, arguments, input);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
