namespace PatternCompiler.EndToEnd;

/// <summary>The source tree that the tests were built from.</summary>
internal static class Repository
{
    public static string Root { get; } = FindRoot();

    /// <summary>Copies a folder of the tree into a work folder, without what earlier builds have left in it.</summary>
    public static void CopyTo(WorkFolder target, string folder, string name)
    {
        string start = Path.Combine(Root, folder);
        foreach (string file in Directory.EnumerateFiles(start, "*", SearchOption.AllDirectories))
        {
            string below = Path.GetRelativePath(start, file);
            if (!below.Split(Path.DirectorySeparatorChar).Any(part => part is "out" or ".patternc"))
            {
                target.With(Path.Combine(name, below), File.ReadAllBytes(file));
            }
        }
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
