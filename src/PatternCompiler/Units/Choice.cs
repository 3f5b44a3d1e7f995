using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;

namespace PatternCompiler.Units;

/// <summary>One of a few words, each with what it stands for. Settings files, options, reports and help take the words from here.</summary>
/// <typeparam name="T">What the words stand for.</typeparam>
internal sealed class Choice<T>
{
    /// <summary>A choice; the first word is the usual one.</summary>
    public Choice(params ReadOnlySpan<(string Word, T Value)> entries)
    {
        Entries = [.. entries];
        Words = [.. Entries.Select(entry => entry.Word)];
        OptionWords = [.. Words.Select(word => word.Replace(' ', '-'))];
    }

    /// <summary>All words with their values, in the order in which they are told.</summary>
    public ImmutableArray<(string Word, T Value)> Entries { get; }

    /// <summary>The words as files and reports write them.</summary>
    public ImmutableArray<string> Words { get; }

    /// <summary>The words as an option's value: with dashes for blanks.</summary>
    public ImmutableArray<string> OptionWords { get; }

    /// <summary>The words in a sentence: "a, b or c".</summary>
    public string Alternatives => Listed(Words);

    /// <summary>The words of options in a sentence.</summary>
    public string OptionAlternatives => Listed(OptionWords);

    /// <summary>The value of a word of <see cref="Words"/>.</summary>
    public bool TryWord(string word, [MaybeNullWhen(false)] out T value) => TryAt(Words.IndexOf(word), out value);

    /// <summary>The value of a word of either list.</summary>
    public bool TryOption(string word, [MaybeNullWhen(false)] out T value) => TryAt(Math.Max(Words.IndexOf(word), OptionWords.IndexOf(word)), out value);

    /// <summary>The word for a value.</summary>
    public string WordOf(T value) => Entries.First(entry => EqualityComparer<T>.Default.Equals(entry.Value, value)).Word;

    private static string Listed(ImmutableArray<string> words) => $"{string.Join(", ", words[..^1])} or {words[^1]}";

    private bool TryAt(int index, [MaybeNullWhen(false)] out T value)
    {
        value = index < 0 ? default : Entries[index].Value;
        return index >= 0;
    }
}
