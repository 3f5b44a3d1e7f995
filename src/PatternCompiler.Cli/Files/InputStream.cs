using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Files;

/// <summary>
/// An input being read front to back. Its first bytes can be looked at before they are read, faults of the operating
/// system come out as diagnostics that name it, and reading moves its progress bar.
/// </summary>
internal sealed class InputStream : Stream
{
    private const int TooManyFilesError = 24;

    private readonly Stream inner;
    private readonly ProgressItem progress;
    private byte[] peeked = [];
    private int peekedUsed;

    public InputStream(string name, Stream inner, ProgressDisplay display)
    {
        Name = name;
        this.inner = inner;
        progress = display.Add(name, inner.CanSeek ? inner.Length : 0);
    }

    /// <summary>Name for messages: as the user gave it, "-" for standard input.</summary>
    public string Name { get; }

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    /// <summary>The diagnostic for a fault while reading.</summary>
    public static CompileException Explain(string name, Exception fault) => fault is UnauthorizedAccessException
        ? new CompileException(CommandCodes.CannotRead, "cannot read: no permission", new SourcePlace(name), "check the permissions of the file and its folder")
        : new CompileException(
            CommandCodes.CannotRead,
            "cannot read: " + FaultText.Of(fault),
            new SourcePlace(name),
            (fault.HResult & 0xFFFF) == TooManyFilesError ? "raise the limit with: ulimit -n 256" : null);

    /// <summary>The first bytes, fewer than asked for only if the input is shorter. Call before any read; they are read again afterwards.</summary>
    public ReadOnlySpan<byte> Peek(int count)
    {
        if (peeked.Length == 0)
        {
            var buffer = new byte[count];
            peeked = buffer[..this.ReadAtLeast(buffer, count, throwOnEndOfStream: false)];
        }

        return peeked;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        if (peekedUsed < peeked.Length)
        {
            int count = Math.Min(buffer.Length, peeked.Length - peekedUsed);
            peeked.AsSpan(peekedUsed, count).CopyTo(buffer);
            peekedUsed += count;
            return count;
        }

        try
        {
            int count = inner.Read(buffer);
            progress.Advance(count);
            return count;
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw Explain(Name, fault);
        }
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void Flush()
    {
    }

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            inner.Dispose();
        }

        base.Dispose(disposing);
    }
}
