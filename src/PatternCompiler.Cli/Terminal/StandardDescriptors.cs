using System.Runtime.InteropServices;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// Standard input, output and error as the program found them. One that was closed by whoever started it is a number that the next
/// file to be opened takes: what is meant for a person would be written into an output, and an output read as input. So a closed
/// number is known before anything is opened, is kept by the null device, and is neither read nor written.
/// </summary>
internal static partial class StandardDescriptors
{
    public const int Input = 0;
    public const int Output = 1;
    public const int Error = 2;

    private const int GetDescriptorFlags = 1;
    private const int CloseOnExec = 1;
    private const int ReadWrite = 2;
    private const int FileSizeSignal = 25;
    private const nint Ignore = 1;

    private static readonly bool[] Closed = new bool[3];

    /// <summary>Looks at the three and puts the process in order. Called once, before anything else.</summary>
    public static void Settle()
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        for (int number = Input; number <= Error; number++)
        {
            int flags = Control(number, GetDescriptorFlags);
            if (flags < 0)
            {
                Closed[number] = true;
                _ = OpenFile("/dev/null\0"u8.ToArray(), ReadWrite);
            }
            else if ((flags & CloseOnExec) != 0)
            {
                // What is closed on exec was not inherited: the runtime itself has taken the number already.
                Closed[number] = true;
            }
        }

        // Beyond its size limit a write must fail like any other, so that the unfinished file is removed.
        _ = SetSignal(FileSizeSignal, Ignore);
    }

    /// <summary>True if the descriptor was closed when the program started.</summary>
    public static bool IsClosed(int number) => Closed[number];

    [LibraryImport("libc", EntryPoint = "fcntl")]
    private static partial int Control(int descriptor, int command);

    [LibraryImport("libc", EntryPoint = "open")]
    private static partial int OpenFile(byte[] path, int flags);

    [LibraryImport("libc", EntryPoint = "signal")]
    private static partial nint SetSignal(int signal, nint handler);
}
