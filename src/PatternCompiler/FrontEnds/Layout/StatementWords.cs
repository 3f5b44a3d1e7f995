using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Finds the statement that a word opens.</summary>
internal static class StatementWords
{
    // The last words, which nobody writes by hand: 'origin' and 'named'.
    private const int WrittenByProgram = 2;

    private static readonly string[] Names =
        [.. Enum.GetValues<StatementWord>().Select(word => word == StatementWord.None ? "" : word.ToString().ToLowerInvariant())];

    private static readonly byte[][] Bytes = [.. Names.Select(Encoding.UTF8.GetBytes)];

    /// <summary>The statement; <see cref="StatementWord.None"/> if there is none of that name.</summary>
    public static StatementWord Find(ReadOnlySpan<byte> word)
    {
        for (int i = 1; i < Bytes.Length; i++)
        {
            if (word.SequenceEqual(Bytes[i]))
            {
                return (StatementWord)i;
            }
        }

        return StatementWord.None;
    }

    /// <summary>The word of a statement.</summary>
    public static string NameOf(StatementWord statement) => Names[(int)statement];

    /// <summary>The fault of a line that starts with something else.</summary>
    public static CompileException Unknown(ref LineScanner scanner, string word)
    {
        if (word.Length == 0)
        {
            return scanner.Unexpected("a statement");
        }

        string? nearest = NearestWord.Find(word, Names.Skip(1));
        return scanner.Fault(
            LayoutCodes.UnknownStatement,
            $"there is no statement '{word}'",
            scanner.Position,
            nearest is null ? $"statements are {string.Join(", ", Names.Skip(1).SkipLast(WrittenByProgram))}" : $"did you mean '{nearest}'?");
    }
}
