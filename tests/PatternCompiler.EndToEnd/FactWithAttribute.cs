namespace PatternCompiler.EndToEnd;

/// <summary>
/// A test that needs programs of the operating system. Without them it is skipped and says what to install; in continuous
/// integration, which installs them, it runs and fails.
/// </summary>
[AttributeUsage(AttributeTargets.Method)]
internal sealed class FactWithAttribute : FactAttribute
{
    public FactWithAttribute(params string[] programs)
    {
        string[] missing = [.. programs.Where(program => !IsInstalled(program))];
        if (missing.Length > 0 && Environment.GetEnvironmentVariable("CI") is null)
        {
            Skip = $"not installed: {string.Join(", ", missing)}; .ci/run names the packages";
        }
    }

    private static bool IsInstalled(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(folder => File.Exists(Path.Combine(folder, program)));
}
