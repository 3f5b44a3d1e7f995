namespace PatternCompiler.Cli.Files;

/// <summary>
/// Hands full buffers to a thread that writes them, so that a stage computes while its pipe takes what is ready. The order of the
/// bytes stays; a fault of the target comes out of the next write or flush. For targets that are only written forward.
/// </summary>
/// <param name="target">Where to; closed with this stream.</param>
/// <param name="bufferBytes">Size of each of the two buffers.</param>
internal sealed class PipelinedStream(Stream target, int bufferBytes) : Stream
{
    private byte[] filling = new byte[bufferBytes];
    private byte[] draining = [];
    private int filled;
    private Task pending = Task.CompletedTask;
    private bool isClosed;

    public override bool CanRead => false;

    public override bool CanSeek => false;

    public override bool CanWrite => true;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => throw new NotSupportedException(); set => throw new NotSupportedException(); }

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        while (buffer.Length > 0)
        {
            int count = Math.Min(buffer.Length, filling.Length - filled);
            buffer[..count].CopyTo(filling.AsSpan(filled));
            filled += count;
            buffer = buffer[count..];
            if (filled == filling.Length)
            {
                HandOver();
            }
        }
    }

    /// <summary>Writes everything out and waits for it.</summary>
    public override void Flush()
    {
        pending.GetAwaiter().GetResult();
        int last = filled;
        filled = 0;
        target.Write(filling, 0, last);
        target.Flush();
    }

    public override int Read(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing && !isClosed)
        {
            isClosed = true;
            try
            {
                Flush();
            }
            finally
            {
                target.Dispose();
            }
        }

        base.Dispose(disposing);
    }

    private void HandOver()
    {
        // One buffer is on its way at most; its fault ends the run here.
        pending.GetAwaiter().GetResult();
        byte[] full = filling;
        int count = filled;
        filling = draining.Length > 0 ? draining : new byte[bufferBytes];
        (draining, filled) = (full, 0);
        pending = Task.Run(() => target.Write(full, 0, count));
    }
}
