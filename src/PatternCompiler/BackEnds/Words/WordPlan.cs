using PatternCompiler.BackEnds.Points;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Words;

/// <summary>A word layout worked out for one converter: which bits of which word hold what.</summary>
internal sealed class WordPlan
{
    private const int BitsPerByte = 8;

    private readonly WordLayout layout;
    private readonly Dac dac;
    private readonly BlankLine line;
    private readonly int wordBytes;
    private readonly (int Word, int Shift, uint Mask, WordContent Content)[] fields;
    private readonly uint[] words;

    /// <summary>Works a layout out for the machine of a header; where the words hold the blank line, it has to state its level.</summary>
    public WordPlan(WordLayout layout, RecordsHeader header)
    {
        this.layout = layout;
        dac = header.Dac;
        wordBytes = layout.WordBits / BitsPerByte;
        words = new uint[layout.WordsPerPoint];
        var placed = new List<(int, int, uint, WordContent)>();
        int used = 0;
        foreach (WordField field in layout.Fields)
        {
            used += field.Bits;
            uint mask = (uint)((1UL << field.Bits) - 1);
            placed.Add(((used - 1) / layout.WordBits, (layout.WordBits - used % layout.WordBits) % layout.WordBits, mask, field.Content));
            LongestDwell = field.Content == WordContent.Dwell ? mask : LongestDwell;
            HasBlank |= field.Content == WordContent.Blank;
            HasScan |= field.Content == WordContent.Scan;
        }

        fields = [.. placed];
        line = HasBlank ? new BlankLine(header) : default;
    }

    /// <summary>Largest value of the dwell field; 0 if there is none.</summary>
    public uint LongestDwell { get; }

    /// <summary>True if the words say whether the beam is on.</summary>
    public bool HasBlank { get; }

    /// <summary>True if the words drive a scan-enable line, which goes down with one more point at the end.</summary>
    public bool HasScan { get; }

    /// <summary>Writes one point; the target has the layout's bytes per point.</summary>
    public void Write(int x, int y, uint ticks, bool isOn, bool isScanning, Span<byte> target)
    {
        Array.Clear(words);
        foreach ((int word, int shift, uint mask, WordContent content) in fields)
        {
            uint value = content switch
            {
                WordContent.X => Coded(x, content),
                WordContent.Y => Coded(y, content),
                WordContent.XCoarse => Coded(x >> layout.FineBits, content),
                WordContent.XFine => Coded(x & FineMask, content),
                WordContent.YCoarse => Coded(y >> layout.FineBits, content),
                WordContent.YFine => Coded(y & FineMask, content),
                WordContent.Dwell => ticks,
                WordContent.Blank => line.IsHigh(isOn) ? uint.MaxValue : 0,
                WordContent.Scan => isScanning ? uint.MaxValue : 0,
                _ => 0,
            };
            words[word] |= (value & mask) << shift;
        }

        foreach (uint word in words)
        {
            PutBytes(layout.IsLeastSignificantBitFirst ? Reversed(word) : word, target);
            target = target[wordBytes..];
        }
    }

    /// <summary>Reads one point, or says what is wrong with it.</summary>
    public string? TryRead(ReadOnlySpan<byte> source, out BeamPoint point, out bool isScanning)
    {
        isScanning = true;
        for (int i = 0; i < words.Length; i++)
        {
            uint word = Bytes(source.Slice(i * wordBytes, wordBytes));
            words[i] = layout.IsLeastSignificantBitFirst ? Reversed(word) : word;
        }

        int x = 0;
        int y = 0;
        long ticks = LongestDwell == 0 ? 1 : 0;
        bool isOn = true;
        string? fault = null;
        foreach ((int word, int shift, uint mask, WordContent content) in fields)
        {
            uint value = (words[word] >> shift) & mask;
            switch (content)
            {
                case WordContent.X or WordContent.XCoarse or WordContent.XFine:
                    fault ??= TryAdd(value, mask, content, ref x) ? null : "x is no code of the converter";
                    break;
                case WordContent.Y or WordContent.YCoarse or WordContent.YFine:
                    fault ??= TryAdd(value, mask, content, ref y) ? null : "y is no code of the converter";
                    break;
                case WordContent.Dwell:
                    ticks = value;
                    break;
                case WordContent.Blank:
                    fault ??= value == 0 || value == mask ? null : "the blank field is neither all 0 nor all 1";
                    isOn = line.IsOn(value != 0);
                    break;
                case WordContent.Scan:
                    fault ??= value == 0 || value == mask ? null : "the scan field is neither all 0 nor all 1";
                    isScanning = value != 0;
                    break;
                default:
                    fault ??= value == 0 ? null : "bits that should be zero are not";
                    break;
            }
        }

        point = new BeamPoint(x, y, ticks, isOn);
        return fault;
    }

    private int FineMask => (1 << layout.FineBits) - 1;

    // Signed words carry their sign through every bit of a wider field.
    private uint Coded(int natural, WordContent content) => (uint)(natural - SignOffset(content));

    private bool TryAdd(uint value, uint mask, WordContent content, ref int code)
    {
        uint natural = (value + (uint)SignOffset(content)) & mask;
        code += (int)natural << (content is WordContent.XCoarse or WordContent.YCoarse ? layout.FineBits : 0);
        return natural < 1u << layout.CodeBits(content, dac);
    }

    // What a signed converter calls zero is the middle of its natural codes.
    private int SignOffset(WordContent content) =>
        dac.Coding == DacCoding.TwosComplement ? 1 << (layout.CodeBits(content, dac) - 1) : 0;

    private uint Reversed(uint word)
    {
        uint reversed = 0;
        for (int bit = 0; bit < layout.WordBits; bit++)
        {
            reversed |= ((word >> bit) & 1) << (layout.WordBits - 1 - bit);
        }

        return reversed;
    }

    private void PutBytes(uint word, Span<byte> target)
    {
        for (int i = 0; i < wordBytes; i++)
        {
            int shift = BitsPerByte * (layout.IsBigEndian ? wordBytes - 1 - i : i);
            target[i] = (byte)(word >> shift);
        }
    }

    private uint Bytes(ReadOnlySpan<byte> source)
    {
        uint word = 0;
        for (int i = 0; i < wordBytes; i++)
        {
            int shift = BitsPerByte * (layout.IsBigEndian ? wordBytes - 1 - i : i);
            word |= (uint)source[i] << shift;
        }

        return word;
    }
}
