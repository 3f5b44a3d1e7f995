using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>
/// Every number of the exposure stream's form, which README.md beside this file specifies. All of them are final for
/// version 1.
/// </summary>
internal static class StreamFormat
{
    /// <summary>Major version: a receiver refuses any other.</summary>
    public const byte MajorVersion = 1;

    /// <summary>Minor version of streams without triggers: a receiver ignores it.</summary>
    public const byte MinorVersion = 1;

    /// <summary>Minor version of streams whose records may wait for a trigger.</summary>
    public const byte TriggerMinorVersion = 2;

    /// <summary>Added to the profile of such a stream.</summary>
    public const byte TriggerProfile = 2;

    /// <summary>Where the minor version stands.</summary>
    public const int HeaderMinorOffset = 7;

    /// <summary>Fewest bytes that a header can have: version 1.0 and no name.</summary>
    public const int ShortestHeader = HeaderNameOffset + CrcBytes;

    /// <summary>Most bytes that a header can have; more would be a fault.</summary>
    public const int LongestHeader = 512;

    /// <summary>Where the header's length stands, followed by its complement.</summary>
    public const int HeaderLengthOffset = 8;

    /// <summary>Bytes from the start through the length's complement: what a reader needs to find the header's end.</summary>
    public const int HeaderPrefix = 12;

    /// <summary>Word size in bytes.</summary>
    public const int HeaderWordBytesOffset = 12;

    /// <summary>Profile.</summary>
    public const int HeaderProfileOffset = 13;

    /// <summary>Most bytes of a block's payload that the writer uses.</summary>
    public const int HeaderPayloadOffset = 14;

    /// <summary>Where the description of the machine starts, which the digest covers.</summary>
    public const int HeaderMachineOffset = 16;

    /// <summary>Where the digest stands; the description before it is 60 bytes.</summary>
    public const int HeaderDigestOffset = 76;

    /// <summary>Bytes of the digest.</summary>
    public const int DigestBytes = 8;

    /// <summary>Length of the machine's name in bytes.</summary>
    public const int HeaderNameLengthOffset = 84;

    /// <summary>The machine's name.</summary>
    public const int HeaderNameOffset = 85;

    /// <summary>Bytes of version 1.1 between the name and the checksum: level of the blank line and two digests.</summary>
    public const int OriginBytes = 1 + (2 * SettingsDigest.ByteCount);

    /// <summary>The first digest, from the name's end on.</summary>
    public const int SettingsDigestOffset = 1;

    /// <summary>The second digest, from the name's end on.</summary>
    public const int ExposureDigestOffset = SettingsDigestOffset + SettingsDigest.ByteCount;

    /// <summary>Longest name in bytes.</summary>
    public const int LongestName = 255;

    /// <summary>Bytes of a block before its payload.</summary>
    public const int BlockHeader = 10;

    /// <summary>Most bytes of a block's payload; what a receiver has to buffer.</summary>
    public const int LargestPayload = 512;

    /// <summary>Bytes of a CRC-32C.</summary>
    public const int CrcBytes = 4;

    /// <summary>Most bytes of a block.</summary>
    public const int LargestBlock = BlockHeader + LargestPayload + CrcBytes;

    /// <summary>Type of a block of records.</summary>
    public const byte RecordsBlock = (byte)'R';

    /// <summary>Type of the last block.</summary>
    public const byte EndBlock = (byte)'E';

    /// <summary>Bytes of the last block's payload: records, points and ticks.</summary>
    public const int EndPayload = 24;

    /// <summary>Largest value of a field of two words.</summary>
    public const long LargestPair = uint.MaxValue;

    /// <summary>First word of a jump: x, y, ticks.</summary>
    public const byte JumpWord = 1;

    /// <summary>First word of a dot: x, y, ticks.</summary>
    public const byte DotWord = 2;

    /// <summary>First word of a line: x, y, end x, end y, points, ticks of every point, points with one tick more.</summary>
    public const byte LineWord = 3;

    /// <summary>First word of a wait: ticks.</summary>
    public const byte WaitWord = 4;

    /// <summary>First word of a marker: number.</summary>
    public const byte MarkerWord = 5;

    /// <summary>First word of a trigger: longest wait in ticks, from 1 on.</summary>
    public const byte TriggerWord = 6;

    /// <summary>Words of a jump or a dot.</summary>
    public const int PointWords = 5;

    /// <summary>Words of a line.</summary>
    public const int LineWords = 11;

    /// <summary>Words of a wait, a trigger or a marker.</summary>
    public const int ValueWords = 3;

    /// <summary>First bytes: those of the documents' family with an X, then the version.</summary>
    public static ReadOnlySpan<byte> Magic => [0x9C, (byte)'P', (byte)'C', (byte)'X', 0x0D, 0x0A, MajorVersion, MinorVersion];
}
