using System.Collections.Immutable;
using System.CommandLine;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that take "name=text", as often as they are given.</summary>
internal static class NoteOption
{
    /// <summary>The option.</summary>
    public static Option<KeyValuePair<string, string>[]> Create(string name, string description) => new(name)
    {
        Description = description,
        HelpName = "NAME=TEXT",
        Arity = ArgumentArity.OneOrMore,
        AllowMultipleArgumentsPerToken = false,
        CustomParser = result =>
        {
            var notes = ImmutableArray.CreateBuilder<KeyValuePair<string, string>>();
            foreach (string text in result.Tokens.Select(token => token.Value))
            {
                int split = text.IndexOf('=', StringComparison.Ordinal);
                if (split < 1 || text.AsSpan(0, split).Trim().IsEmpty)
                {
                    result.AddError($"option '{name}' takes a name and a text, such as lot=7, not '{text}'");
                    return [];
                }

                notes.Add(new(text[..split].Trim(), text[(split + 1)..].Trim()));
            }

            return notes.ToArray();
        },
    };
}
