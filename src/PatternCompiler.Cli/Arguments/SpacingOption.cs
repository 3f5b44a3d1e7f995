using System.CommandLine;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Arguments;

/// <summary>Options that take a line pitch or point step: a length, a whole number of codes, or the word for a choice.</summary>
internal static class SpacingOption
{
    /// <summary>An option that is null unless given.</summary>
    public static Option<Spacing?> Create(string name, string description)
    {
        var option = new Option<Spacing?>(name)
        {
            Description = $"{description}: a length, a whole number of codes, or {SpacingValue.AutomaticName}. For example {DimensionText.ExampleOf([Dimension.Length, Dimension.Codes])}.",
            HelpName = "QUANTITY",
            CustomParser = result =>
            {
                string text = result.Tokens[0].Value;
                if (text == SpacingValue.AutomaticName)
                {
                    return Spacing.Automatic;
                }

                if (!Quantity.TryParse(text, [Dimension.Length, Dimension.Codes], out Quantity quantity, out QuantityFault? fault))
                {
                    result.AddError($"option '{name}' {fault.Problem}; {fault.Fix}");
                    return null;
                }

                if (!(quantity.Number > 0))
                {
                    result.AddError($"option '{name}' must be above zero, but it is '{text}'");
                    return null;
                }

                if (!SpacingValue.TryFrom(quantity, out Spacing spacing))
                {
                    result.AddError($"option '{name}' must be a whole number of codes, but it is '{text}'");
                    return null;
                }

                return spacing;
            },
        };
        option.CompletionSources.Add(SpacingValue.AutomaticName);
        return option;
    }
}
