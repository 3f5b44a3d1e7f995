using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Files;

/// <summary>Passes writes on and turns the operating system's faults into diagnostics that name the output. What is written can be read again.</summary>
internal sealed class WriteGuard(string name, Stream inner) : Stream
{
    private const int NoSpaceError = 28;
    private const int TooLargeError = 27;
    private const int TooManyFilesError = 24;

    public override bool CanRead => inner.CanRead;

    public override bool CanSeek => inner.CanSeek;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => inner.Position;
        set => inner.Position = value;
    }

    /// <summary>Runs a step of writing <paramref name="name"/>.</summary>
    public static void Run(string name, Action step) => Run(name, () =>
    {
        step();
        return 0;
    });

    /// <summary>Runs a step of writing <paramref name="name"/> that gives a result.</summary>
    public static T Run<T>(string name, Func<T> step)
    {
        try
        {
            return step();
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or NotSupportedException or ArgumentException)
        {
            throw Explain(name, fault);
        }
    }

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        try
        {
            inner.Write(buffer);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or ArgumentOutOfRangeException)
        {
            throw Explain(name, fault);
        }
    }

    public override void Flush() => Run(name, inner.Flush);

    public override int Read(byte[] buffer, int offset, int count) => Run(name, () => inner.Read(buffer, offset, count));

    public override long Seek(long offset, SeekOrigin origin) => Run(name, () => inner.Seek(offset, origin));

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            Run(name, inner.Dispose);
        }

        base.Dispose(disposing);
    }

    private static CompileException Explain(string name, Exception fault)
    {
        var place = new SourcePlace(name == OutputFiles.StandardName ? "standard output" : name);
        bool isFull = (fault.HResult & 0xFFFF) == NoSpaceError || fault.Message.StartsWith("No space left", StringComparison.Ordinal);

        // The runtime has a fault of its own for what grows beyond the process's limit.
        bool isTooLarge = fault is ArgumentOutOfRangeException || (fault.HResult & 0xFFFF) == TooLargeError;
        return isTooLarge
            ? new CompileException(CommandCodes.CannotWrite, "cannot write: the file would be larger than this process may write", place, "raise the limit with: ulimit -f unlimited")
            : (fault.HResult & 0xFFFF) == TooManyFilesError
            ? new CompileException(CommandCodes.CannotWrite, "cannot write: too many open files", place, "raise the limit with: ulimit -n 256")
            : isFull
            ? new CompileException(CommandCodes.NoSpace, "cannot write: no space left on the device", place, "free some space, or write elsewhere with -o FILE")
            : fault is UnauthorizedAccessException
            ? new CompileException(CommandCodes.CannotWrite, "cannot write: no permission", place, "check the permissions of the file and its folder")
            : new CompileException(CommandCodes.CannotWrite, "cannot write: " + FaultText.Of(fault), place);
    }
}
