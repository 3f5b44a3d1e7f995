using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// The limit of the process's address space. Below what the runtime's own threads need it would end anywhere, by a signal and without a word; so
/// a limit that is too low is told before any work begins.
/// </summary>
internal static class MemoryLimit
{
    private const string File = "/proc/self/limits";
    private const string Row = "Max address space";
    private const long LeastBytes = 768L << 20;

    /// <summary>Throws if the limit is too low; does nothing where the system does not tell it.</summary>
    /// <exception cref="CompileException">It is.</exception>
    public static void Require()
    {
        if (OperatingSystem.IsLinux() && FileSystem.FileExists(File))
        {
            using var reader = new StreamReader(FileSystem.OpenRead(File));
            while (reader.ReadLine() is { } line)
            {
                if (line.StartsWith(Row, StringComparison.Ordinal)
                    && line[Row.Length..].Split(' ', StringSplitOptions.RemoveEmptyEntries) is [{ } soft, ..]
                    && NumberText.TryParseInteger(soft, out long bytes) && bytes < LeastBytes)
                {
                    throw new CompileException(
                        CommandCodes.Refused,
                        $"the limit of memory, {bytes >> 20} MiB, leaves too little for this program, which needs {LeastBytes >> 20} MiB to run at all",
                        fix: "raise it with: ulimit -v unlimited");
                }
            }
        }
    }
}
