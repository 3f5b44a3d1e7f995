using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs;

/// <summary>Reads the text of a settings file from disk.</summary>
internal static class SettingsText
{
    private static readonly UTF8Encoding StrictUtf8 = new(encoderShouldEmitUTF8Identifier: false, throwOnInvalidBytes: true);

    /// <summary>The text; <paramref name="role"/> ("machine") is for messages.</summary>
    /// <exception cref="CompileException">The file is missing, too large, unreadable or not UTF-8.</exception>
    public static string Read(string path, string role)
    {
        try
        {
            using FileStream stream = FileSystem.OpenRead(path);
            using var reader = new StreamReader(stream, StrictUtf8);

            // Read at most what the YAML reader accepts and one character more, so that a device or a huge file ends.
            char[] buffer = new char[Math.Min(YamlText.LongestText, stream.CanSeek ? stream.Length : YamlText.LongestText) + 1];
            int length = reader.ReadBlock(buffer, 0, buffer.Length);
            return new string(buffer, 0, length);
        }
        catch (DecoderFallbackException exception)
        {
            throw Fault(path, $"the {role} file is not UTF-8 text", "check the file name, or save it as UTF-8", exception);
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
