using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;

namespace PatternCompiler.Cli.Manual;

/// <summary>Makes the manual page of a command from its declaration, so that it cannot go stale.</summary>
internal static class ManualWriter
{
    /// <summary>The page of a command, or of the whole program for the root.</summary>
    public static ManualPage Write(Command command)
    {
        string name = PageName(command);
        var sections = ImmutableArray.CreateBuilder<ManualSection>();
        void Add(string heading, IEnumerable<ManualBlock> blocks)
        {
            ImmutableArray<ManualBlock> all = [.. blocks];
            if (all.Length > 0)
            {
                sections.Add(new ManualSection(heading, all));
            }
        }

        Add("NAME", [new(null, $"{name} - {Phrase(command.Description ?? "")}")]);
        Add("SYNOPSIS", [new(null, Synopsis(command))]);
        Add("DESCRIPTION", Description(command));
        Add("COMMANDS", command.Subcommands.Select(sub => new ManualBlock(sub.Name, sub.Description ?? "")));
        Add("ARGUMENTS", command.Arguments.Select(argument => new ManualBlock(NameOf(argument), argument.Description ?? "")));
        Add("OPTIONS", OptionsOf(command).Select(option => new ManualBlock(TermOf(option), MeaningOf(option))));
        Add("EXAMPLES", (command as PatternCommand)?.Examples.Select(example => new ManualBlock(example.Line, example.Meaning)) ?? []);
        Add("EXIT STATUS", ((command as PatternCommand)?.ExitCodes ?? ExitCodeMeaning.Usual).Select(code => new ManualBlock(
            code.Code.ToString(System.Globalization.CultureInfo.InvariantCulture), code.Meaning)));
        Add("FILES", FilesOf(command));
        Add("ENVIRONMENT",
        [
            new("NO_COLOR", "If it is set to anything, messages are not coloured unless --color asks for it."),
            new("TERM", "If it is 'dumb', neither."),
        ]);
        Add("SEE ALSO", [new(null, string.Join(", ", SeeAlso(command)))]);
        return new ManualPage(name, sections.ToImmutable());
    }

    private static string PageName(Command command) => CommandPath.Of(command).Replace(' ', '-');

    /// <summary>A description as the phrase that programs which list manual pages show.</summary>
    public static string Phrase(string description)
    {
        string text = description.TrimEnd('.');
        return text.Length == 0 ? text : char.ToLowerInvariant(text[0]) + text[1..];
    }

    /// <summary>How a command is called.</summary>
    public static string Synopsis(Command command)
    {
        string arguments = string.Concat(command.Arguments.Select(argument =>
            argument.Arity.MinimumNumberOfValues == 0 ? $" [{NameOf(argument)}]" : " " + NameOf(argument)));
        string sub = command.Subcommands.Count > 0 ? " [COMMAND]" : "";
        return $"{CommandPath.Of(command)}{sub} [OPTION...]{arguments}";
    }

    /// <summary>What stands for an argument.</summary>
    public static string NameOf(Argument argument) => argument.HelpName ?? argument.Name.ToUpperInvariant();

    private static IEnumerable<ManualBlock> Description(Command command) => command is PatternCommand known
        ? known.Details.Split('\n').Select(paragraph => new ManualBlock(null, paragraph))
        :
        [
            new(null, command.Description ?? ""),
            new(null, "Data goes to standard output, messages to standard error. A command reads standard input where no file is named, so that stages can be chained; 'build' runs them all. A file is written beside its place and renamed when it is complete."),
            new(null, "A word @FILE on the command line stands for the words in FILE: separated by blanks or line ends, in quotes where they hold blanks, comments from # to the end of a line. @- reads them from standard input; @@ at the start of a word is a plain @."),
            new(null, "The beam of an electron microscope needs high voltage and makes X-rays. This program writes files, controls no microscope and replaces no interlock."),
        ];

    /// <summary>All options of a command; the program's own hold for every command and come last.</summary>
    public static IEnumerable<Option> OptionsOf(Command command) => command.Options
        .Concat(command.Parents.OfType<Command>().SelectMany(parent => OptionsOf(parent).Where(option => option.Recursive)))
        .Where(option => !option.Hidden);

    /// <summary>An option's names and what stands for its value.</summary>
    public static string TermOf(Option option)
    {
        string names = string.Join(", ", option.Aliases.Append(option.Name).OrderBy(name => name.Length));
        return option.ValueType == typeof(bool) || option.HelpName is null && option is System.CommandLine.Help.HelpOption or VersionOption
            ? names
            : $"{names} {option.HelpName ?? "VALUE"}";
    }

    private static string MeaningOf(Option option)
    {
        string meaning = option.Description ?? "";
        string sentence = meaning.EndsWith('.') || meaning.Length == 0 ? meaning : meaning + ".";
        return DefaultOf(option) is { } value ? $"{sentence} Default: {value}." : sentence;
    }

    /// <summary>The value that holds where an option is not given, if it has a name.</summary>
    public static string? DefaultOf(Option option) =>
        option.HasDefaultValue && option.GetDefaultValue() is string { Length: > 0 } value && value != "-" ? value : null;

    private static IEnumerable<ManualBlock> FilesOf(Command command)
    {
        bool Has(string option) => command.Options.Any(known => known.Name == option);
        foreach (ManualBlock file in (command as PatternCommand)?.Files ?? [])
        {
            yield return file;
        }

        if (Has("--job"))
        {
            yield return new("job.yaml", "What to write and how finely: drawings, layers, fill, outputs. Given with --job.");
        }

        if (Has("--machine"))
        {
            yield return new("machine.yaml", "The pattern writer: converters, field, settling, clock, blanker, beam, link. Given with --machine or named by the job.");
        }

        if (Has("--process"))
        {
            yield return new("process.yaml", "The resist: doses, spread of electrons. Given with --process or named by the job.");
        }
    }

    private static IEnumerable<string> SeeAlso(Command command)
    {
        if (command.Parents.OfType<Command>().FirstOrDefault() is not { } parent)
        {
            return command.Subcommands.Select(sub => PageName(sub) + "(1)");
        }

        bool isTop = parent is RootCommand;
        IEnumerable<string> related = RelatedCommands.Of(isTop ? command.Name : parent.Name).Select(name => $"patternc-{name}(1)");
        IEnumerable<string> below = command.Subcommands.Select(sub => PageName(sub) + "(1)");
        return [.. isTop ? (string[])["patternc(1)"] : ["patternc(1)", PageName(parent) + "(1)"], .. related, .. below];
    }
}
