using System.CommandLine;
using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Manual;

namespace PatternCompiler.EndToEnd;

/// <summary>The short help of every command: a screen or two at 80 columns, and nothing left out.</summary>
public sealed class HelpTests
{
    private const int Columns = 80;
    private const int MostLines = 60;

    private static readonly RootCommand Root = CommandTree.Create(new GlobalOptions());

    [Fact]
    public void Help_is_what_is_printed()
    {
        using var folder = new WorkFolder();
        Assert.Equal(
            """
            Fill figures with beam strokes that carry their dose.

            Usage:
              patternc fill [OPTION...] [INPUT]

            Examples:
              patternc fill chip.figures --job job.yaml -o chip.strokes
                  with the settings of a job
              patternc fill chip.figures --job job.yaml --line-pitch automatic --point-step automatic > chip.strokes
                  as finely as clock, deflection and link allow

            Input:
              INPUT  Figures

            Options:
              --places FILE          Messages name the drawing, by 'build --places'
              --strategy WORD        Fill each figure with lines of its own, or scan the
                                     layer as a raster: lines, one-way-lines, raster,
                                     one-way-raster, contour-then-lines, inward-contours
              --line-direction WORD  Which way lines run: x, y, long-side
              --line-pitch QUANTITY  Distance between neighbouring lines
              --point-step QUANTITY  Distance between points along a line
              --travel WORD          Jumps go straight, or, hidden, over exposed areas and
                                     around the pattern where they would print: straight,
                                     hidden
              --dose QUANTITY        Base area dose
              --current QUANTITY     Beam current as measured

            Output:
              -o, --output FILE  Write the strokes to FILE
              --binary           Write the compact binary form, for large patterns

            Settings:
              --job FILE      Job file
              --machine FILE  Machine file
              --process FILE  Process file

            Every command:
              --help, --quiet, --strict, --color: see 'patternc --help'

            'patternc help fill' says everything.

            """,
            folder.Run("fill", "--help").Expect(0).Output);
    }

    [Fact]
    public void Every_help_is_short_and_names_every_command_and_option()
    {
        foreach (Command command in All(Root))
        {
            string help = HelpText.Print(command);
            string[] lines = help.TrimEnd('\n').Split('\n');
            Assert.True(lines.Sum(line => Math.Max(1, (line.Length + Columns - 1) / Columns)) <= MostLines, $"{command.Name}: {lines.Length} lines");
            string[] examples = [.. (command as PatternCommand)?.Examples.Select(example => "  " + example.Line) ?? []];
            Assert.All(lines, line => Assert.True(line.Length <= Columns || examples.Contains(line), line));
            Assert.All(command.Subcommands, sub => Assert.Contains($"  {sub.Name} ", help, StringComparison.Ordinal));
            Assert.All(command.Options.Concat(Root.Options.Where(option => option.Recursive)), option => Assert.Matches($@"(^|[ ,]){option.Name}[ ,:\n]", help));
            if (command is PatternCommand)
            {
                int first = help.IndexOf("\nExamples:\n", StringComparison.Ordinal);
                Assert.True(first > 0 && first < help.IndexOf(" see 'patternc --help'", StringComparison.Ordinal), command.Name);
            }
        }
    }

    private static IEnumerable<Command> All(Command command) => command.Subcommands.SelectMany(All).Prepend(command);
}
