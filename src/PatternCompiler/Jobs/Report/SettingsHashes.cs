using System.Security.Cryptography;
using PatternCompiler.Files;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Report;

/// <summary>Size and hash of the settings files of a job. Those that are built in have none.</summary>
internal static class SettingsHashes
{
    /// <summary>Job, machine, process and alignment files.</summary>
    public static IEnumerable<ReportFile> Of(Job job)
    {
        foreach ((string path, string role) in job.SettingsFiles)
        {
            if (Look(path, role) is { } file)
            {
                yield return file;
            }
        }
    }

    private static ReportFile? Look(string path, string role)
    {
        try
        {
            using FileStream stream = FileSystem.OpenRead(path);
            return new ReportFile(path, role, stream.Length, Convert.ToHexStringLower(SHA256.HashData(stream)));
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            // It was read a moment ago; that it is gone now does not make the outputs wrong.
            return new ReportFile(path, role, 0, null);
        }
    }
}
