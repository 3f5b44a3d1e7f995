using System.Buffers.Binary;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;

namespace PatternCompiler.Model;

/// <summary>The first 16 bytes of a SHA-256 over settings in one fixed form; all zero where none is stated.</summary>
/// <param name="Value">The bytes, first one on top.</param>
internal readonly record struct SettingsDigest(UInt128 Value)
{
    /// <summary>Bytes of a digest.</summary>
    public const int ByteCount = 16;

    /// <summary>False for all zero.</summary>
    public bool IsStated => Value != UInt128.Zero;

    /// <summary>The digest of settings.</summary>
    public static SettingsDigest Of(ReadOnlySpan<byte> settings) => Read(SHA256.HashData(settings));

    /// <summary>The digest in the first bytes of a span.</summary>
    public static SettingsDigest Read(ReadOnlySpan<byte> source) => new(BinaryPrimitives.ReadUInt128BigEndian(source));

    /// <summary>Reads what <see cref="ToString"/> gives.</summary>
    public static bool TryParse(ReadOnlySpan<byte> text, out SettingsDigest digest)
    {
        bool isDigest = text.Length == 2 * ByteCount &
            UInt128.TryParse(Encoding.UTF8.GetString(text), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out UInt128 value);
        digest = new SettingsDigest(value);
        return isDigest;
    }

    /// <summary>Writes its bytes.</summary>
    public void Write(Span<byte> target) => BinaryPrimitives.WriteUInt128BigEndian(target, Value);

    /// <summary>32 hexadecimal digits.</summary>
    public override string ToString() => Value.ToString("x32", CultureInfo.InvariantCulture);
}
