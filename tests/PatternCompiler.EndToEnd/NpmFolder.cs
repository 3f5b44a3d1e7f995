namespace PatternCompiler.EndToEnd;

/// <summary>
/// Packages from npm, their versions and checksums pinned in package-lock.json. They are installed once into a folder of build outputs, with
/// the files beside the lock.
/// </summary>
internal static class NpmFolder
{
    /// <summary>The folder with the packages.</summary>
    /// <param name="name">Its name among the build outputs.</param>
    /// <param name="settings">Where package.json, package-lock.json and further files stand, from this project's folder.</param>
    public static string Install(string name, params string[] settings)
    {
        string folder = Path.Combine(Repository.Root, ".artifacts", name);
        Directory.CreateDirectory(folder);
        bool isCurrent = Directory.Exists(Path.Combine(folder, "node_modules"));
        foreach (string file in Directory.GetFiles(Path.Combine([Repository.Root, "tests", "PatternCompiler.EndToEnd", .. settings])))
        {
            string copy = Path.Combine(folder, Path.GetFileName(file));
            string text = File.ReadAllText(file);
            isCurrent &= File.Exists(copy) && File.ReadAllText(copy) == text;
            File.WriteAllText(copy, text);
        }

        if (!isCurrent)
        {
            Executable.Shell(folder, "npm ci --ignore-scripts --no-audit --no-fund --loglevel=error").Expect(0);
        }

        return folder;
    }
}
