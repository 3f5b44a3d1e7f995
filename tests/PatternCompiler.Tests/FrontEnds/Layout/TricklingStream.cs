namespace PatternCompiler.Tests.FrontEnds.Layout;

/// <summary>Gives its bytes in small pieces, as a pipe may.</summary>
internal sealed class TricklingStream(byte[] content, int size) : MemoryStream(content)
{
    public override int Read(byte[] buffer, int offset, int count) => base.Read(buffer, offset, Math.Min(count, size));

    public override int Read(Span<byte> buffer) => base.Read(buffer[..Math.Min(buffer.Length, size)]);
}
