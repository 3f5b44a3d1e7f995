using System.CommandLine;
using System.CommandLine.Parsing;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>
/// Options that take numbers. The parser's own conversion reads "1,5" as 15; every number here goes through
/// <see cref="NumberText"/> instead.
/// </summary>
internal static class NumberOption
{
    /// <summary>A whole number within limits; null unless given.</summary>
    public static Option<long?> CreateWhole(string name, string description, long minimum, long maximum, string helpName = "N") => new(name)
    {
        Description = description,
        HelpName = helpName,
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (NumberText.TryParseInteger(text, out long value) && value >= minimum && value <= maximum)
            {
                return value;
            }

            result.AddError($"option '{name}' takes a whole number from {minimum} to {maximum}, not '{text}'");
            return null;
        },
    };

    /// <summary>A number within limits; null unless given.</summary>
    public static Option<double?> CreateReal(string name, string description, double minimum, double maximum, string helpName = "NUMBER") => new(name)
    {
        Description = description,
        HelpName = helpName,
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (NumberText.TryParseReal(text, out double value) && value >= minimum && value <= maximum)
            {
                return value;
            }

            result.AddError(
                $"option '{name}' takes a number from {NumberText.Format(minimum)} to {NumberText.Format(maximum)} with a decimal point, not '{text}'");
            return null;
        },
    };
}
