namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>Gives its head, then blanks for ever.</summary>
internal sealed class EndlessStream(byte[] head) : MemoryStream(head)
{
    public override int Read(byte[] buffer, int offset, int count)
    {
        int read = base.Read(buffer, offset, count);
        if (read == 0)
        {
            buffer.AsSpan(offset, count).Fill((byte)' ');
        }

        return read == 0 ? count : read;
    }
}
