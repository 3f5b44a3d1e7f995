using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs;

/// <summary>Reads the text of a settings file from disk.</summary>
internal static class SettingsText
{
    /// <summary>The text; <paramref name="role"/> ("machine") is for messages.</summary>
    /// <exception cref="CompileException">The file is missing, too large, unreadable or not UTF-8.</exception>
    public static string Read(string path, string role)
    {
        try
        {
            using FileStream stream = FileSystem.OpenRead(path);
            return YamlText.Load(stream, path);
        }
        catch (Exception exception) when (exception is FileNotFoundException or DirectoryNotFoundException)
        {
            throw Fault(path, $"there is no {role} file of this name", "check the path; in a job file it is relative to the job file's folder", exception);
        }
        catch (UnauthorizedAccessException exception)
        {
            string problem = FileSystem.FolderExists(path) ? $"this is a folder, not a {role} file" : $"the {role} file may not be read";
            throw Fault(path, problem, FileSystem.FolderExists(path) ? "name a file in it" : "check its permissions", exception);
        }
        catch (IOException exception)
        {
            throw Fault(path, $"the {role} file cannot be read: {exception.Message}", null, exception);
        }
    }

    private static CompileException Fault(string path, string message, string? fix, Exception cause) =>
        new(new Diagnostic(JobCodes.CannotRead, Severity.Error, message, new SourcePlace(path), fix), cause);
}
