using System.Collections.Immutable;
using PatternCompiler.Units;

namespace PatternCompiler.Instrument;

/// <summary>
/// How a controller that takes bare binary words wants each point: the fields in order, from the top bit of the first
/// word down. Fields fill words exactly and none crosses from one word to the next; <see cref="WordContent.Zero"/>
/// fields pad. Without a dwell field every point is repeated once per clock tick.
/// </summary>
/// <param name="WordBits">Width of a word: 8, 16, 24 or 32.</param>
/// <param name="Fields">The fields of one point.</param>
/// <param name="IsBigEndian">The most significant byte of a word comes first.</param>
/// <param name="IsLeastSignificantBitFirst">The bits of each word are reversed.</param>
public sealed record WordLayout(
    int WordBits,
    ImmutableArray<WordField> Fields,
    bool IsBigEndian,
    bool IsLeastSignificantBitFirst)
{
    private const int BitsPerByte = 8;

    /// <summary>The words for what fields carry, in machine files and messages.</summary>
    internal static Choice<WordContent> Contents { get; } = new(
        ("x", WordContent.X),
        ("y", WordContent.Y),
        ("x_coarse", WordContent.XCoarse),
        ("x_fine", WordContent.XFine),
        ("y_coarse", WordContent.YCoarse),
        ("y_fine", WordContent.YFine),
        ("dwell", WordContent.Dwell),
        ("blank", WordContent.Blank),
        ("scan", WordContent.Scan),
        ("zero", WordContent.Zero));

    /// <summary>Lower bits of a code that go to a fine converter, where fields take coarse and fine parts; else 0.</summary>
    public int FineBits { get; init; }

    /// <summary>Words of one point.</summary>
    public int WordsPerPoint => Fields.Sum(part => part.Bits) / WordBits;

    /// <summary>Bytes of one point.</summary>
    public int BytesPerPoint => WordsPerPoint * WordBits / BitsPerByte;

    /// <summary>X, Y, dwell and blank in a little-endian word each, as narrow as the converter allows.</summary>
    public static WordLayout For(Dac dac)
    {
        int bits = dac.Bits <= 16 ? 16 : 24;
        return new WordLayout(
            bits,
            [
                new(WordContent.X, bits),
                new(WordContent.Y, bits),
                new(WordContent.Dwell, bits),
                new(WordContent.Blank, bits),
            ],
            IsBigEndian: false,
            IsLeastSignificantBitFirst: false);
    }

    /// <summary>What is wrong with the layout for a converter, or null.</summary>
    public string? FaultOf(Dac dac)
    {
        if (WordBits is not (8 or 16 or 24 or 32))
        {
            return $"words have {WordBits} bits, allowed are 8, 16, 24 and 32";
        }

        int used = 0;
        foreach (WordField field in Fields)
        {
            if (field.Bits is < 1 or > 32 || used + field.Bits > WordBits)
            {
                return $"the {Contents.WordOf(field.Content)} field of {field.Bits} bits crosses the end of a word of {WordBits} bits";
            }

            used = (used + field.Bits) % WordBits;
        }

        if (used != 0)
        {
            return $"the fields leave {WordBits - used} bits of the last word open; add a zero field";
        }

        return FaultOfNumbers() ?? FaultOfWidths(dac);
    }

    /// <summary>Bits of a code's part that a field carries.</summary>
    internal int CodeBits(WordContent content, Dac dac) => content switch
    {
        WordContent.X or WordContent.Y => dac.Bits,
        WordContent.XCoarse or WordContent.YCoarse => dac.Bits - FineBits,
        WordContent.XFine or WordContent.YFine => FineBits,
        _ => 0,
    };

    private string? FaultOfNumbers()
    {
        foreach (WordContent content in Enum.GetValues<WordContent>().Where(content => content != WordContent.Zero))
        {
            int count = Fields.Count(field => field.Content == content);
            bool isNeeded = content switch
            {
                WordContent.X => !Has(WordContent.XCoarse),
                WordContent.Y => !Has(WordContent.YCoarse),
                WordContent.XFine => Has(WordContent.XCoarse),
                WordContent.YFine => Has(WordContent.YCoarse),
                _ => false,
            };
            if (count > 1 || (count == 0 && isNeeded))
            {
                return $"there are {count} {Contents.WordOf(content)} fields";
            }
        }

        bool isWholeToo = (Has(WordContent.X) && (Has(WordContent.XCoarse) || Has(WordContent.XFine))) ||
            (Has(WordContent.Y) && (Has(WordContent.YCoarse) || Has(WordContent.YFine)));
        return isWholeToo ? "a whole code stands beside its coarse or fine part" : null;
    }

    private string? FaultOfWidths(Dac dac)
    {
        if (FineBits == 0 && Fields.Any(field => field.Content is WordContent.XCoarse or WordContent.YCoarse))
        {
            return "coarse and fine fields need composite converters";
        }

        WordField narrow = Fields.FirstOrDefault(field => field.Bits < CodeBits(field.Content, dac));
        return narrow.Bits == 0
            ? null
            : $"the {Contents.WordOf(narrow.Content)} field has {narrow.Bits} bits, the converter {CodeBits(narrow.Content, dac)}";
    }

    private bool Has(WordContent content) => Fields.Any(field => field.Content == content);
}

/// <summary>What a field of a bare word carries.</summary>
public enum WordContent
{
    /// <summary>Code for the X output, in the converter's coding; two's complement is extended to the field's width.</summary>
    X,

    /// <summary>Code for the Y output, likewise.</summary>
    Y,

    /// <summary>Clock ticks that the point lasts.</summary>
    Dwell,

    /// <summary>The blank line: every bit has the level that the machine's blanker needs.</summary>
    Blank,

    /// <summary>The upper bits of the X code, for the coarse converter of a composite output; coded like a converter of its own.</summary>
    XCoarse,

    /// <summary>The lower bits of the X code, for the fine converter.</summary>
    XFine,

    /// <summary>The upper bits of the Y code, for the coarse converter.</summary>
    YCoarse,

    /// <summary>The lower bits of the Y code, for the fine converter.</summary>
    YFine,

    /// <summary>
    /// Scan-enable line: all ones from the first to the last point, then all zeros in one more point with the beam off.
    /// </summary>
    Scan,

    /// <summary>Bits that are always zero.</summary>
    Zero,
}

/// <summary>One field of a bare word.</summary>
/// <param name="Content">What it carries.</param>
/// <param name="Bits">Its width, 1 to 32.</param>
public readonly record struct WordField(WordContent Content, int Bits);
