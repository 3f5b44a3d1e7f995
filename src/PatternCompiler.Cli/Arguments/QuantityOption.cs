using System.CommandLine;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that take a number with its unit, such as "80 um" or 80um; null unless given.</summary>
internal static class QuantityOption
{
    /// <summary>Any finite value of the wanted dimensions.</summary>
    public static Option<Quantity?> Create(string name, string description, params Dimension[] wanted) =>
        Create(name, description, mustBePositive: false, wanted);

    /// <summary>A value above zero.</summary>
    public static Option<Quantity?> CreatePositive(string name, string description, params Dimension[] wanted) =>
        Create(name, description, mustBePositive: true, wanted);

    private static Option<Quantity?> Create(string name, string description, bool mustBePositive, Dimension[] wanted) => new(name)
    {
        Description = $"{description} For example {DimensionText.ExampleOf(wanted)}.",
        HelpName = "QUANTITY",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (!Quantity.TryParse(text, wanted, out Quantity quantity, out QuantityFault? fault))
            {
                result.AddError($"option '{name}' {fault.Problem}; {fault.Fix}");
                return null;
            }

            if (mustBePositive && !(quantity.Number > 0))
            {
                result.AddError($"option '{name}' must be above zero, but it is '{text}'");
                return null;
            }

            return quantity;
        },
    };
}
