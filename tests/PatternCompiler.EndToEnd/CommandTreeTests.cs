using System.CommandLine;
using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;

namespace PatternCompiler.EndToEnd;

/// <summary>Rules that every command obeys, checked over the whole tree so that a new command cannot forget them.</summary>
public sealed class CommandTreeTests
{
    private static readonly RootCommand Root = CommandTree.Create(new GlobalOptions());

    private static IEnumerable<Command> Commands => Descend(Root).Skip(1);

    [Fact]
    public void Every_command_has_examples_that_parse()
    {
        foreach (PatternCommand command in Commands.OfType<PatternCommand>().Where(command => command.Body is not null))
        {
            Assert.NotEmpty(command.Examples);
            foreach (CommandExample example in command.Examples)
            {
                string[] stages = example.Line.Split('|', StringSplitOptions.TrimEntries);
                Assert.Contains(stages, stage => stage.StartsWith(CommandPath.Of(command), StringComparison.Ordinal));
                foreach (string stage in stages.Where(stage => stage.StartsWith("patternc ", StringComparison.Ordinal)))
                {
                    string words = stage["patternc ".Length..].Split('>')[0];
                    Assert.True(Parse(words).Errors.Count == 0, $"'{stage}': {string.Join("; ", Parse(words).Errors)}");
                }
            }
        }
    }

    [Fact]
    public void A_line_that_begins_with_a_command_finds_it()
    {
        foreach (Command command in Root.Subcommands.Where(command => command.Name != "help"))
        {
            Assert.Equal([command.Name], CommandTree.Create(new GlobalOptions(), [command.Name, "--help"]).Subcommands.Select(sub => sub.Name));
        }
    }

    [Fact]
    public void Every_command_and_option_says_what_it_is()
    {
        Assert.All(Commands, command => Assert.False(string.IsNullOrWhiteSpace(command.Description), command.Name));
        Assert.All(Commands.SelectMany(command => command.Options), option => Assert.False(string.IsNullOrWhiteSpace(option.Description), option.Name));
        Assert.All(Commands.SelectMany(command => command.Arguments), argument => Assert.False(string.IsNullOrWhiteSpace(argument.Description), argument.Name));
    }

    [Fact]
    public void No_number_goes_through_the_parsers_own_conversion()
    {
        // It is bound to the culture and takes thousands separators: "1,5" would be 15.
        foreach (Command command in Commands)
        {
            foreach (Option option in command.Options)
            {
                Assert.True(IsSafe(option.ValueType) || HasCustomParser(option), $"{command.Name} {option.Name}: {option.ValueType}");
            }

            foreach (Argument argument in command.Arguments)
            {
                Assert.True(IsSafe(argument.ValueType) || HasCustomParser(argument), $"{command.Name} {argument.Name}: {argument.ValueType}");
            }
        }
    }

    // As the program does: "@FILE" is replaced before.
    private static ParseResult Parse(string words) => Root.Parse(words, new ParserConfiguration { ResponseFileTokenReplacer = null });

    private static bool IsSafe(Type type) => type == typeof(string) || type == typeof(string[]) || type == typeof(bool);

    private static bool HasCustomParser(Symbol symbol) => symbol.GetType().GetProperty("CustomParser")!.GetValue(symbol) is not null;

    private static IEnumerable<Command> Descend(Command command) => command.Subcommands.SelectMany(Descend).Prepend(command);
}
