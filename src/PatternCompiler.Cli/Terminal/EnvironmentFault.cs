using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Terminal;

/// <summary>Faults of the place where the program runs, which no input and no defect is to blame for, as diagnostics.</summary>
internal static class EnvironmentFault
{
    private const int NoMemory = 12;
    private const int TooManyFiles = 24;

    private static readonly string[] Libraries =
        OperatingSystem.IsWindows() ? ["libSkiaSharp.dll"]
        : OperatingSystem.IsMacOS() ? ["libSkiaSharp.dylib", "libSystem.IO.Ports.Native.dylib"]
        : ["libSkiaSharp.so", "libSystem.IO.Ports.Native.so"];

    /// <summary>The diagnostic, or null if the exception has another cause.</summary>
    public static Diagnostic? From(Exception fault)
    {
        // The runtime wraps what happens while it prepares a class, or in parallel work.
        Exception cause = fault;
        while (cause is TypeInitializationException or AggregateException && cause.InnerException is { } inner)
        {
            cause = inner;
        }

        return cause switch
        {
            DllNotFoundException missing => MissingLibrary(missing.Message),
            OutOfMemoryException or InsufficientExecutionStackException => new Diagnostic(
                CommandCodes.OutOfMemory, Severity.Error, "the machine's memory does not hold this input", Fix: "split the drawing, or run on a larger machine"),
            IOException refused when (refused.HResult & 0xFFFF) == TooManyFiles => new Diagnostic(
                CommandCodes.Refused, Severity.Error, "too many open files: the limit leaves too few for this program", Fix: "raise it with: ulimit -n 256"),
            IOException refused when (refused.HResult & 0xFFFF) == NoMemory => new Diagnostic(
                CommandCodes.Refused, Severity.Error, "the limit of memory leaves too little for this program", Fix: "raise it with: ulimit -v unlimited"),
            FileNotFoundException or FileLoadException when IsAboutOwnPart(cause) => new Diagnostic(
                CommandCodes.Refused,
                Severity.Error,
                "a part of the program cannot be loaded",
                Fix: "raise the limit of open files with: ulimit -n 256; if that does not help, install the program again"),
            _ => null,
        };
    }

    private static bool IsAboutOwnPart(Exception fault) =>
        (fault is FileNotFoundException { FileName: { } file } ? file : ((fault as FileLoadException)?.FileName ?? "")).Contains("Version=", StringComparison.Ordinal);

    private static Diagnostic MissingLibrary(string message)
    {
        string name = Libraries.FirstOrDefault(library => message.Contains(Path.GetFileNameWithoutExtension(library), StringComparison.Ordinal)) ?? Libraries[0];
        string folder = Path.TrimEndingDirectorySeparator(AppContext.BaseDirectory);
        return new Diagnostic(
            CommandCodes.MissingLibrary,
            Severity.Error,
            $"the library {name} is missing or cannot be loaded",
            Fix: $"it must lie beside the program, in {folder}; copy {string.Join(" and ", Libraries)} there from where patternc was installed");
    }
}
