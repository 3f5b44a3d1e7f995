using System.CommandLine;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that take a number with its unit, such as "80 um" or 80um; null unless given.</summary>
internal static class QuantityOption
{
    /// <summary>Any finite value of the wanted dimensions.</summary>
    public static Option<Quantity?> Create(string name, string description, params Dimension[] wanted) =>
        Create(name, description, wanted, (_, _) => null);

    /// <summary>A value above zero.</summary>
    public static Option<Quantity?> CreatePositive(string name, string description, params Dimension[] wanted) =>
        Create(name, description, wanted, (value, text) => value.Number > 0 ? null : $"must be above zero, but it is '{text}'");

    /// <summary>A value within limits, which it may reach.</summary>
    public static Option<Quantity?> CreateWithin(string name, string description, Quantity lowest, Quantity highest) =>
        Create(name, description, [lowest.Dimension], (value, text) =>
            value.In(lowest.Unit) >= lowest.Number && value.In(highest.Unit) <= highest.Number ? null : $"takes {lowest} to {highest}, not '{text}'");

    private static Option<Quantity?> Create(string name, string description, Dimension[] wanted, Func<Quantity, string, string?> faultOf) => new(name)
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

            if (faultOf(quantity, text) is string problem)
            {
                result.AddError($"option '{name}' {problem}");
                return null;
            }

            return quantity;
        },
    };
}
