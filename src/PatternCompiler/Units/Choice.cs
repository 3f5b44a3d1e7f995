using System.Collections.Immutable;

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
    public string[] OptionWords { get; }

    /// <summary>The value of an option's word, one of <see cref="OptionWords"/>.</summary>
    public T OfOption(string word) => Entries[Array.IndexOf(OptionWords, word)].Value;

    /// <summary>The value of a word of <see cref="Words"/>.</summary>
    public T Of(string word) => Entries[Words.IndexOf(word)].Value;

    /// <summary>The word for a value.</summary>
    public string WordOf(T value) => Entries.First(entry => EqualityComparer<T>.Default.Equals(entry.Value, value)).Word;
}
