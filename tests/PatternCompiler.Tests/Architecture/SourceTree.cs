namespace PatternCompiler.Tests.Architecture;

/// <summary>Finds the source files that the architecture tests read.</summary>
internal static class SourceTree
{
    public static string Root { get; } = FindRoot();

    /// <summary>C# files below a folder of the tree, with paths relative to that folder and '/' between parts.</summary>
    public static IEnumerable<(string Path, string[] Lines)> Files(string folder)
    {
        string start = Path.Combine(Root, folder);
        return Directory.EnumerateFiles(start, "*.cs", SearchOption.AllDirectories)
            .Order(StringComparer.Ordinal)
            .Select(path => (Path.GetRelativePath(start, path).Replace('\\', '/'), File.ReadAllLines(path)));
    }

    private static string FindRoot()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "PatternCompiler.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        return folder ?? throw new InvalidOperationException("PatternCompiler.sln is in no folder above the tests.");
    }
}
