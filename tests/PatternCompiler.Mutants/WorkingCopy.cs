using System.Diagnostics;

namespace PatternCompiler.Mutants;

/// <summary>A copy of the tree, built: snapshots that differ and outputs of tests land there and nowhere else.</summary>
internal sealed class WorkingCopy
{
    private static readonly string[] Parts = ["src", "tests", "examples", ".config", ".editorconfig", "global.json", "README.md", "DEVELOPERS.md", "LICENSE", "PatternCompiler.sln", ".ci"];

    private WorkingCopy(string folder) => Folder = folder;

    public string Folder { get; }

    public string SourceFolder => Path.Combine(Folder, "src/PatternCompiler");

    /// <summary>Where the tests run: the output of this project in the copy, with the unit tests and all they need.</summary>
    public string Output => Path.Combine(Folder, ".artifacts/bin/PatternCompiler.Mutants/release");

    /// <summary>What source generators have written for the library, which the switched build needs as well.</summary>
    public IEnumerable<string> GeneratedSources =>
        Directory.EnumerateFiles(Path.Combine(Folder, ".artifacts/obj/PatternCompiler/release/generated"), "*.cs", SearchOption.AllDirectories).Order(StringComparer.Ordinal);

    /// <exception cref="InvalidOperationException">The copy does not build.</exception>
    public static WorkingCopy Make(string tree, string folder)
    {
        foreach (string part in Parts)
        {
            string from = Path.Combine(tree, part);
            if (Directory.Exists(from))
            {
                CopyFolder(new DirectoryInfo(from), Path.Combine(folder, part));
            }
            else if (File.Exists(from))
            {
                CopyFile(new FileInfo(from), Path.Combine(folder, part));
            }
        }

        var copy = new WorkingCopy(folder);
        // The switched library is newer than its sources: without this the copy would keep it.
        if (Directory.Exists(copy.Output))
        {
            File.Delete(Path.Combine(copy.Output, "PatternCompiler.dll"));
        }

        using Process build = Process.Start("dotnet", ["build", Path.Combine(folder, "tests/PatternCompiler.Mutants"), "-c", "Release", "-v", "q", "-nologo", "-p:RunAnalyzers=false", "-p:EmitCompilerGeneratedFiles=true", "-p:IncludeSourceRevisionInInformationalVersion=false"]);
        build.WaitForExit();
        return build.ExitCode == 0 ? copy : throw new InvalidOperationException("The copy does not build.");
    }

    private static void CopyFolder(DirectoryInfo from, string to)
    {
        Directory.CreateDirectory(to);
        string[] gone = [.. Directory.EnumerateFileSystemEntries(to).Select(p => Path.GetFileName(p)).Except(from.EnumerateFileSystemInfos().Select(i => i.Name))];
        foreach (string name in gone)
        {
            string path = Path.Combine(to, name);
            if (Directory.Exists(path))
            {
                Directory.Delete(path, recursive: true);
            }
            else
            {
                File.Delete(path);
            }
        }

        foreach (DirectoryInfo folder in from.EnumerateDirectories())
        {
            CopyFolder(folder, Path.Combine(to, folder.Name));
        }

        foreach (FileInfo file in from.EnumerateFiles())
        {
            CopyFile(file, Path.Combine(to, file.Name));
        }
    }

    private static void CopyFile(FileInfo from, string to)
    {
        var known = new FileInfo(to);
        if (!known.Exists || known.Length != from.Length || known.LastWriteTimeUtc != from.LastWriteTimeUtc)
        {
            from.CopyTo(to, overwrite: true);
        }
    }
}
