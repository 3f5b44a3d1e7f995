namespace PatternCompiler.Reports;

/// <summary>A file that a build has read or made.</summary>
/// <param name="Name">Its name as the job gives it.</param>
/// <param name="Role">What it is, e.g. "drawing" or "stream".</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Hash">SHA-256 of its content in hexadecimal, or null where the content cannot be read again.</param>
internal sealed record ReportFile(string Name, string Role, long Bytes, string? Hash);
