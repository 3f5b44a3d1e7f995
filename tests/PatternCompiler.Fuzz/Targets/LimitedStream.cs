using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Fuzz.Targets;

/// <summary>Swallows what a back end writes, and is full after 16 MiB: records may ask for points without end.</summary>
internal sealed class LimitedStream : MemoryStream
{
    private const long Most = 16 << 20;
    private long written;

    public override void Write(byte[] buffer, int offset, int count) => Write(buffer.AsSpan(offset, count));

    public override void Write(ReadOnlySpan<byte> buffer)
    {
        written += buffer.Length;
        if (written > Most)
        {
            throw new CompileException(CommandCodes.CannotWrite, "the device is full");
        }
    }

    public override void WriteByte(byte value) => Write([value]);
}
