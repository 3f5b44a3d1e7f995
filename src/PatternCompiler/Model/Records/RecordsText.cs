using PatternCompiler.Instrument;

namespace PatternCompiler.Model.Records;

/// <summary>Words of the text form of records. The form is specified in Model/Carriers/README.md.</summary>
internal static class RecordsText
{
    /// <summary>First line.</summary>
    public static ReadOnlySpan<byte> FirstLine => "records 1"u8;

    /// <summary>The word that names the document.</summary>
    public static ReadOnlySpan<byte> Name => "records"u8;

    /// <summary>Codings by the number of their enumeration.</summary>
    public static readonly string[] Codings = ["straight", "offset-binary", "twos-complement"];

    /// <summary>Meanings of the upper voltage by the number of their enumeration.</summary>
    public static readonly string[] FullScales = ["one-beyond-last-code", "last-code"];

    /// <summary>Whether the axes are swapped.</summary>
    public static readonly string[] Axes = ["straight", "swapped"];

    /// <summary>Levels of the blank line with the beam off, from the first that is stated on.</summary>
    public static readonly string[] BlankLevels = ["high", "low", "none"];

    /// <summary>A level in a word, for messages.</summary>
    public static string Describe(BlankLevel level) => level == BlankLevel.NotStated ? "not stated" : BlankLevels[(int)level - 1];
}
