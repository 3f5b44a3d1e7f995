using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Jobs.Traces;
using PatternCompiler.Limits;

namespace PatternCompiler.Cli.Settings;

/// <summary><c>--places</c> of the commands that take documents: the drawing that their messages name.</summary>
internal static class PlacesOption
{
    /// <summary>The option.</summary>
    public static Option<string?> Create() =>
        FileOption.CreateRead("--places", "Messages name the drawing, by 'build --places'.");

    /// <summary>Reads the file, if one is named, and checks that it belongs to the input.</summary>
    /// <param name="option">The option.</param>
    /// <param name="result">The command line.</param>
    /// <param name="input">Name of the input.</param>
    /// <param name="stages">The stages whose messages name the drawing.</param>
    /// <param name="limits">How long lines may be.</param>
    /// <param name="context">Cancellation.</param>
    public static void Use(Option<string?> option, ParseResult result, string input, Pipeline stages, WorkLimits limits, CommandContext context)
    {
        if (result.GetValue(option) is not string name)
        {
            return;
        }

        if (input == InputFile.StandardName)
        {
            throw new CompileException(
                CommandCodes.PlacesOfPipe, "the places of what comes from a pipe cannot be checked", new SourcePlace(name), "write the document to a file, and name that");
        }

        Trace trace;
        using (InputStream file = context.Open(name))
        {
            trace = TraceFile.Read(file, name, limits, context.Cancellation);
        }

        using Stream document = InputFile.OpenAgainAndAgain(input);
        TraceUse.Run(trace, name, document, input, stages.Places);
    }
}
