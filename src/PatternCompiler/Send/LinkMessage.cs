using System.Buffers.Binary;
using PatternCompiler.Model.Carriers;

namespace PatternCompiler.Send;

/// <summary>A receiver's status message (section "On a link" of the stream's specification).</summary>
/// <param name="Kind">'C' credit, 'D' done, 'F' fault, 'S' stopped, 'I' idle.</param>
/// <param name="Fault">Number of the fault, else 0.</param>
/// <param name="WasCut">A record was cut short.</param>
/// <param name="Credit">Blocks with numbers below this may be sent, modulo 2^32.</param>
/// <param name="BlocksWritten">Blocks written completely.</param>
/// <param name="RecordsWritten">Records written completely in the block after those.</param>
internal readonly record struct LinkMessage(char Kind, int Fault, bool WasCut, uint Credit, uint BlocksWritten, int RecordsWritten)
{
    /// <summary>Bytes of a message.</summary>
    public const int Length = 20;

    /// <summary>First byte of every message.</summary>
    public const byte Start = 0xA5;

    private const int CrcOffset = 16;

    /// <summary>True if the receiver says that it writes nothing and the beam is off.</summary>
    public bool IsAtRest => Kind is 'D' or 'F' or 'S' or 'I';

    private static ReadOnlySpan<byte> Kinds => "CDFSI"u8;

    /// <summary>Reads a message; false if it is damaged or of a kind that nobody knows.</summary>
    public static bool TryParse(ReadOnlySpan<byte> bytes, out LinkMessage message)
    {
        message = default;
        if (bytes[0] != Start || !Kinds.Contains(bytes[1]) || Crc32C.Of(bytes[..CrcOffset]) != BinaryPrimitives.ReadUInt32LittleEndian(bytes[CrcOffset..]))
        {
            return false;
        }

        message = new LinkMessage(
            (char)bytes[1],
            bytes[2],
            bytes[3] != 0,
            BinaryPrimitives.ReadUInt32LittleEndian(bytes[4..]),
            BinaryPrimitives.ReadUInt32LittleEndian(bytes[8..]),
            BinaryPrimitives.ReadUInt16LittleEndian(bytes[12..]));
        return true;
    }
}
