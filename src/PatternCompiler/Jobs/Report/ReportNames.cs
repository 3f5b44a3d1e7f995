using PatternCompiler.Diagnostics;

namespace PatternCompiler.Jobs.Report;

/// <summary>Names of files as the job file gives them, so that a report does not depend on where the project lies.</summary>
internal sealed class ReportNames(string? jobFile)
{
    private readonly string folder = jobFile is null ? "" : Path.GetDirectoryName(jobFile) ?? "";

    /// <summary>The name of a file.</summary>
    public string Of(string path)
    {
        if (path == "-")
        {
            return "standard stream";
        }

        string name = folder.Length > 0 && path.StartsWith(folder + Path.DirectorySeparatorChar, StringComparison.Ordinal) ? path[(folder.Length + 1)..] : path;
        return Path.IsPathRooted(name) ? Path.GetFileName(name) : name.Replace('\\', '/');
    }

    /// <summary>A diagnostic with the name of its file.</summary>
    public Diagnostic Shorten(Diagnostic diagnostic) => diagnostic with { Place = diagnostic.Place.WithFiles(Of) };
}
