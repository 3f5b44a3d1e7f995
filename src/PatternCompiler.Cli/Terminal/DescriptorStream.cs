using System.Runtime.InteropServices;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// Standard output or standard error as a plain stream. The runtime's own console stream sends control sequences to a
/// terminal before the first byte and swallows the error of a closed pipe, so that a stage would go on computing for
/// nobody; its file stream ignores the offset shared with other processes. Here every write goes straight to the
/// descriptor, and a closed pipe ends the run.
/// </summary>
internal sealed partial class DescriptorStream : Stream
{
    private const int InterruptedCall = 4;
    private const int TryAgain = 11;
    private const int NoSpace = 28;
    private const int BrokenPipe = 32;

    private readonly int descriptor;
    private readonly Stream? console;
    private readonly bool isClosed;

    private DescriptorStream(int descriptor, Func<Stream> openConsole)
    {
        this.descriptor = descriptor;
        console = OperatingSystem.IsWindows() ? openConsole() : null;
        isClosed = StandardDescriptors.IsClosed(descriptor);
    }

    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    /// <summary>Standard output.</summary>
    public static DescriptorStream OpenOutput() => new(StandardDescriptors.Output, Console.OpenStandardOutput);

    /// <summary>Standard error.</summary>
    public static DescriptorStream OpenError() => new(StandardDescriptors.Error, Console.OpenStandardError);

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        if (isClosed)
        {
            throw new IOException("it is closed");
        }

        if (console is not null)
        {
            console.Write(buffer);
            return;
        }

        while (buffer.Length > 0)
        {
            nint written = WriteDescriptor(descriptor, ref MemoryMarshal.GetReference(buffer), (nuint)buffer.Length);
            if (written >= 0)
            {
                buffer = buffer[(int)written..];
                continue;
            }

            int error = Marshal.GetLastPInvokeError();
            if (error == TryAgain)
            {
                // Somebody made the shared descriptor non-blocking; wait as a blocking one would.
                Thread.Sleep(1);
            }
            else if (error != InterruptedCall)
            {
                throw error switch
                {
                    BrokenPipe => new OutputClosedException(),
                    NoSpace => new IOException("No space left on device"),
                    _ => new IOException(Marshal.GetPInvokeErrorMessage(error), error),
                };
            }
        }
    }

    public override void Flush() => console?.Flush();

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    [LibraryImport("libc", EntryPoint = "write", SetLastError = true)]
    private static partial nint WriteDescriptor(int descriptor, ref byte buffer, nuint count);
}

/// <summary>The reader of standard output has gone (<c>patternc … | head</c>): the run stops without a word.</summary>
internal sealed class OutputClosedException : Exception
{
}
