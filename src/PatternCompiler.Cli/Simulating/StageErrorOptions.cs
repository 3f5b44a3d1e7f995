using System.CommandLine;
using PatternCompiler.Calibration;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Simulating;

/// <summary>How a command line says what the stage misses: at random, or by a table.</summary>
internal sealed class StageErrorOptions
{
    private const long UsualSeed = 1;

    private readonly Option<Quantity?> deviation = QuantityOption.CreatePositive(
        "--stage-error", "Put write fields off their places at random; by this standard deviation in each direction.", Dimension.Length);

    private readonly Option<long?> seed = NumberOption.CreateWhole(
        "--stage-seed", "Another set of random stage errors; 1 if absent. The same number gives the same errors.", 0, long.MaxValue);

    private readonly Option<string?> table = FileOption.CreateRead(
        "--stage-errors", "Put write fields off their places as this table says: columns row, column, error x [nm], error y [nm].");

    /// <summary>Adds the options to a command.</summary>
    public void AddTo(Command command)
    {
        command.Options.Add(deviation);
        command.Options.Add(seed);
        command.Options.Add(table);
    }

    /// <summary>The errors that were asked for.</summary>
    public StageErrors Read(ParseResult result, CommandContext context)
    {
        if (result.GetValue(deviation) is { } size)
        {
            return result.GetValue(table) is null
                ? StageErrors.Random(size.In(Unit.Nanometre), result.GetValue(seed) ?? UsualSeed)
                : throw Wrong("--stage-error and --stage-errors exclude each other", "leave one of them out");
        }

        if (result.GetValue(seed) is not null)
        {
            throw Wrong("--stage-seed chooses random stage errors, and there are none", "add for example --stage-error \"50 nm\"");
        }

        if (result.GetValue(table) is not { } name)
        {
            return StageErrors.None;
        }

        using InputStream source = context.Open(name);
        var measured = MeasurementTable.Read(source, source.Name);
        double[] columns = measured.Column("column", Unit.One);
        double[] x = measured.Column("error x", Unit.Nanometre);
        double[] y = measured.Column("error y", Unit.Nanometre);
        return StageErrors.Given(measured.Column("row", Unit.One).Select((row, i) => (row, columns[i], x[i], y[i])), name);
    }

    private static CompileException Wrong(string message, string fix) =>
        new(CommandCodes.WrongUsage, message, new SourcePlace("patternc simulate"), fix);
}
