using System.CommandLine;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that take one of a few words, exactly as written.</summary>
internal static class ChoiceOption
{
    /// <summary>An option with a default.</summary>
    public static Option<string> Create(string name, string description, string defaultValue, params string[] choices)
    {
        var option = new Option<string>(name) { Description = description, DefaultValueFactory = _ => defaultValue };
        Restrict(option, choices);
        return option;
    }

    /// <summary>An option that is null unless given.</summary>
    public static Option<string?> CreateOptional(string name, string description, params string[] choices)
    {
        var option = new Option<string?>(name) { Description = description };
        Restrict(option, choices);
        return option;
    }

    private static void Restrict(Option option, string[] choices)
    {
        option.HelpName = string.Join('|', choices);
        option.CompletionSources.Add(choices);
        option.Validators.Add(result =>
        {
            if (result.Tokens is [{ } token, ..] && !choices.Contains(token.Value))
            {
                string list = string.Join(", ", choices[..^1]) + " or " + choices[^1];
                string? nearest = NearestWord.Find(token.Value, choices);
                result.AddError($"option '{option.Name}' takes {list}, not '{token.Value}'"
                    + (nearest is null ? "" : $" (did you mean '{nearest}'?)"));
            }
        });
    }
}
