using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Cli.Files;

/// <summary>Passes reads on and turns the operating system's faults into diagnostics that name the input.</summary>
internal sealed class ReadGuard(string name, Stream inner) : Stream
{
    public override bool CanRead => true;

    public override bool CanSeek => inner.CanSeek;

    public override bool CanWrite => false;

    public override long Length => inner.Length;

    public override long Position
    {
        get => inner.Position;
        set => inner.Position = value;
    }

    /// <summary>The diagnostic for a fault while reading.</summary>
    public static CompileException Explain(string name, Exception fault) => fault is UnauthorizedAccessException
        ? new CompileException(CommandCodes.CannotRead, "cannot read: no permission", new SourcePlace(name), "check the permissions of the file and its folder")
        : new CompileException(CommandCodes.CannotRead, "cannot read: " + FaultText.Of(fault), new SourcePlace(name));

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override int Read(Span<byte> buffer)
    {
        try
        {
            return inner.Read(buffer);
        }
        catch (Exception fault) when (fault is IOException or UnauthorizedAccessException)
        {
            throw Explain(name, fault);
        }
    }

    public override long Seek(long offset, SeekOrigin origin) => inner.Seek(offset, origin);

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
