using System.CommandLine;
using System.Text.RegularExpressions;
using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;

namespace PatternCompiler.EndToEnd;

/// <summary>Rules that every command obeys, checked over the whole tree so that a new command cannot forget them.</summary>
public sealed partial class CommandTreeTests
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

    /// <summary>Messages and pages tell users what to type: the commands and options that they name are there.</summary>
    [Fact]
    public void Command_lines_in_texts_name_what_there_is()
    {
        List<string> wrong = [];
        int seen = 0;
        foreach (string file in Directory.GetFiles(Path.Combine(Repository.Root, "src"), "*.cs", SearchOption.AllDirectories))
        {
            foreach (Match line in QuotedLine().Matches(File.ReadAllText(file)))
            {
                string[] words = line.Groups["words"].Value.Split(' ', StringSplitOptions.RemoveEmptyEntries);
                Command command = Root;
                foreach (string word in words)
                {
                    command = command.Subcommands.FirstOrDefault(sub => sub.Name == word) ?? command;
                }

                string[] options = [.. words.Where(word => word.StartsWith("--", StringComparison.Ordinal)).Select(word => word.Split('=')[0])];
                string[] known = [.. command.Options.Concat(Root.Options).SelectMany(option => option.Aliases.Prepend(option.Name))];
                seen += options.Length;
                wrong.AddRange(options.Except(known).Where(option => option != "--help").Select(option => $"{Path.GetFileName(file)}: {line.Value}: {option}"));
                if (command == Root && words.Length > 0 && char.IsAsciiLetterLower(words[0][0]))
                {
                    wrong.Add($"{Path.GetFileName(file)}: {line.Value}: there is no such command");
                }
            }
        }

        Assert.Empty(wrong);
        Assert.True(seen > 20, $"{seen} options were found");
    }

    [GeneratedRegex(@"(['""(])patternc (?<words>[a-z][^'""\n{}()|]*)")]
    private static partial Regex QuotedLine();

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
