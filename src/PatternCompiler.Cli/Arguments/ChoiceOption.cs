using System.CommandLine;
using PatternCompiler.Diagnostics;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>An option that takes a word of a choice: as files write it, or with dashes for blanks.</summary>
/// <typeparam name="T">What the words stand for.</typeparam>
internal sealed class ChoiceOption<T> : Option<string?>
{
    private readonly Choice<T> choice;

    private ChoiceOption(string name, string description, Choice<T> choice)
        : base(name)
    {
        this.choice = choice;
        Description = description;
        HelpName = string.Join('|', choice.OptionWords);
        CompletionSources.Add([.. choice.OptionWords]);
        Validators.Add(result =>
        {
            if (result.Tokens is [{ } token, ..] && !choice.TryOption(token.Value, out _))
            {
                string? nearest = NearestWord.Find(token.Value, choice.OptionWords);
                result.AddError($"option '{name}' takes {choice.OptionAlternatives}, not '{token.Value}'"
                    + (nearest is null ? "" : $" (did you mean '{nearest}'?)"));
            }
        });
    }

    /// <summary>An option whose default is the first word.</summary>
    public static ChoiceOption<T> Create(string name, string description, Choice<T> choice) =>
        new(name, description, choice) { DefaultValueFactory = _ => choice.OptionWords[0] };

    /// <summary>An option that may be left out.</summary>
    public static ChoiceOption<T> CreateOptional(string name, string description, Choice<T> choice) => new(name, description, choice);

    /// <summary>What the given word, or the default, stands for.</summary>
    public T In(ParseResult result) => In(result, choice.Entries[0].Value);

    /// <summary>What the given word stands for.</summary>
    /// <param name="result">A line without errors.</param>
    /// <param name="otherwise">The value where the option is left out.</param>
    public T In(ParseResult result, T otherwise) =>
        result.GetValue(this) is { } word && choice.TryOption(word, out T? value) ? value : otherwise;
}
