using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Files;

namespace PatternCompiler.Cli.Files;

/// <summary>Looks at the names of a command line's inputs and outputs before anything is read or written.</summary>
internal static class OutputGuard
{
    private const string StandardInput = "/dev/stdin";
    private const string StandardOutput = "/dev/stdout";

    /// <summary>Refuses endings that mislead, folders as outputs, and outputs that would destroy an input or each other.</summary>
    public static void Check(ParseResult result)
    {
        Command command = result.CommandResult.Command;
        (OutputFileOption Option, string Name)[] outputs =
        [
            .. command.Options.OfType<OutputFileOption>()
                .Select(option => (option, Name: result.GetValue(option)!))
                .Where(output => output.Name is not null),
        ];
        foreach ((OutputFileOption option, string name) in outputs.Where(output => output.Name != OutputFiles.StandardName))
        {
            if (option.Holds(result).FaultOf(name) is (string problem, string remedy))
            {
                throw new CompileException(CommandCodes.WrongEnding, problem, new SourcePlace($"{CommandPath.Of(command)} {option.Name}"), remedy);
            }

            if (FileSystem.FolderExists(name))
            {
                throw new CompileException(CommandCodes.CannotWrite, "cannot write: it is a folder", new SourcePlace(name), "name a file");
            }
        }

        RefuseClash(command, [.. InputsOf(command, result)], outputs);
    }

    private static void RefuseClash(Command command, string[] inputs, (OutputFileOption Option, string Name)[] outputs)
    {
        string[] names = [.. outputs.Select(output => output.Name)];
        string[] standard = names.Contains(OutputFiles.StandardName) && FileSystem.Look(StandardOutput) is { Kind: FileKind.Regular } ? [StandardOutput] : [];
        if (OutputClash.Find(inputs, [.. names.Where(name => name != OutputFiles.StandardName), .. standard]) is not { } clash)
        {
            return;
        }

        string output = clash.Output == StandardOutput ? "standard output" : $"'{clash.Output}'";
        string other = clash.Other switch { StandardInput => "standard input", StandardOutput => "standard output", _ => $"'{clash.Other}'" };
        throw new CompileException(
            CommandCodes.OutputClash,
            clash.IsInput ? $"the output {output} is the input {other}" : $"the outputs {output} and {other} are one file",
            new SourcePlace(CommandPath.Of(command)),
            "give the output another name");
    }

    private static IEnumerable<string> InputsOf(Command command, ParseResult result)
    {
        foreach (InputFileArgument argument in command.Arguments.OfType<InputFileArgument>())
        {
            string? name = result.GetValue(argument);
            if (name is not null && name != InputFile.StandardName)
            {
                yield return name;
            }
            else if (FileSystem.Look(StandardInput) is { Kind: FileKind.Regular })
            {
                yield return StandardInput;
            }
        }

        foreach (InputFileOption option in command.Options.OfType<InputFileOption>())
        {
            if (result.GetValue(option) is { } name)
            {
                yield return name;
            }
        }
    }
}
