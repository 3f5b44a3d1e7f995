using System.Diagnostics;
using System.Runtime.InteropServices;
using Microsoft.Win32.SafeHandles;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>A pair of pseudo-terminals in raw mode: what a serial cable looks like to a program.</summary>
internal sealed class Terminal : IDisposable
{
    private const int ReadWrite = 2;
    private const int NoControllingTerminal = 0x100;

    public Terminal()
    {
        int descriptor = Open(ReadWrite | NoControllingTerminal);
        Assert.True(descriptor >= 0 && Grant(descriptor) == 0 && Unlock(descriptor) == 0, "no pseudo-terminal");
        Name = Marshal.PtrToStringUTF8(NameOf(descriptor))!;
        using (Process stty = Process.Start("stty", ["-F", Name, "raw", "-echo"]))
        {
            stty.WaitForExit();
            Assert.Equal(0, stty.ExitCode);
        }

        // Kept open, so that the master side lives on while nobody else has the other end.
        KeptOpen = new FileStream(Name, FileMode.Open, FileAccess.Write, FileShare.ReadWrite, 0);
        Master = new FileStream(new SafeFileHandle(descriptor, ownsHandle: true), FileAccess.ReadWrite, 0);
    }

    /// <summary>Path of the end that a program opens like a serial port.</summary>
    public string Name { get; }

    /// <summary>The other end.</summary>
    public FileStream Master { get; }

    private FileStream KeptOpen { get; }

    /// <summary>Opens the named end for reading or writing.</summary>
    public FileStream OpenEnd(FileAccess access) => new(Name, FileMode.Open, access, FileShare.ReadWrite, 0);

    /// <summary>Lets a read of <see cref="Master"/> return: closing it would not end one in progress.</summary>
    public void Wake() => KeptOpen.WriteByte(0);

    /// <summary>Pulls the cable.</summary>
    public void Dispose()
    {
        KeptOpen.Dispose();
        Master.Dispose();
    }

    [DllImport("libc", EntryPoint = "posix_openpt")]
    private static extern int Open(int flags);

    [DllImport("libc", EntryPoint = "grantpt")]
    private static extern int Grant(int descriptor);

    [DllImport("libc", EntryPoint = "unlockpt")]
    private static extern int Unlock(int descriptor);

    [DllImport("libc", EntryPoint = "ptsname")]
    private static extern IntPtr NameOf(int descriptor);
}
