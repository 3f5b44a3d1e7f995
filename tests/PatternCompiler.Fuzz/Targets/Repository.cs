using System.Text;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>Seeds from the repository.</summary>
internal static class Repository
{
    private static readonly string Root = Find();

    /// <summary>Where findings and the running input are kept.</summary>
    public static string Artifacts => Directory.CreateDirectory(Path.Combine(Root, ".artifacts", "fuzz")).FullName;

    /// <summary>Files by pattern in a folder and all below it, in a fixed order, up to a size.</summary>
    public static IEnumerable<byte[]> Files(string folder, string pattern, int longest = 1 << 15) => Directory
        .EnumerateFiles(Path.Combine(Root, folder), pattern, SearchOption.AllDirectories)
        .Order(StringComparer.Ordinal)
        .Where(path => new FileInfo(path).Length <= longest)
        .Select(File.ReadAllBytes);

    /// <summary>Where a file of the repository is.</summary>
    public static string PathOf(string path) => Path.Combine(Root, path);

    /// <summary>A text file.</summary>
    public static string Text(params string[] path) => File.ReadAllText(Path.Combine([Root, .. path]));

    /// <summary>Words of a format, apart from each other by blanks.</summary>
    public static byte[][] Words(string words) => [.. words.Split(' ', StringSplitOptions.RemoveEmptyEntries).Select(Encoding.UTF8.GetBytes)];

    private static string Find()
    {
        string folder = AppContext.BaseDirectory;
        while (!Directory.Exists(Path.Combine(folder, "tests", "Corpus")))
        {
            folder = Path.GetDirectoryName(folder) ?? throw new DirectoryNotFoundException("tests/Corpus");
        }

        return folder;
    }
}
