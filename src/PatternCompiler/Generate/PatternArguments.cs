using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Units;

namespace PatternCompiler.Generate;

/// <summary>The values that one test pattern is drawn with: what the user set, defaults for the rest, all checked.</summary>
internal sealed class PatternArguments
{
    private const int LargestCount = 100_000;
    private readonly Dictionary<string, (PatternParameter Parameter, Quantity Value)> values = new(StringComparer.Ordinal);
    private readonly long gridPicometres;

    /// <summary>Checks the user's settings (name → text with unit) against a pattern's parameters.</summary>
    public PatternArguments(TestPattern pattern, IEnumerable<KeyValuePair<string, string>> settings, long gridPicometres)
    {
        this.gridPicometres = gridPicometres;
        foreach (PatternParameter parameter in pattern.Parameters)
        {
            values[parameter.Name] = (parameter, Parse(parameter, parameter.Default));
        }

        foreach ((string name, string text) in settings)
        {
            if (!values.TryGetValue(name, out var known))
            {
                string? nearest = NearestWord.Find(name, pattern.Parameters.Select(p => p.Name));
                throw new CompileException(
                    GenerateCodes.UnknownParameter,
                    $"'{pattern.Name}' has no parameter '{name}'",
                    fix: nearest is null ? $"it has {string.Join(", ", pattern.Parameters.Select(p => p.Name))}" : $"did you mean '{nearest}'?");
            }

            values[name] = (known.Parameter, Parse(known.Parameter, text));
        }
    }

    /// <summary>A length in grid steps, 1 or more.</summary>
    public int Length(string name)
    {
        (PatternParameter parameter, Quantity value) = values[name];
        double steps = Math.Round(value.In(Unit.Picometre) / gridPicometres, MidpointRounding.AwayFromZero);
        return steps is >= 1 and <= GridPoint.Limit
            ? (int)steps
            : throw OutOfRange(parameter, value, "more than zero and no more than the grid can hold");
    }

    /// <summary>A whole number, 1 or more where the pattern does not allow none.</summary>
    public int Count(string name)
    {
        (PatternParameter parameter, Quantity value) = values[name];
        return value.BaseValue >= parameter.SmallestCount && value.BaseValue <= LargestCount && Math.Floor(value.BaseValue) == value.BaseValue
            ? (int)value.BaseValue
            : throw OutOfRange(parameter, value, $"a whole number from {parameter.SmallestCount} to {LargestCount}");
    }

    /// <summary>A plain number above zero.</summary>
    public double Factor(string name)
    {
        (PatternParameter parameter, Quantity value) = values[name];
        return value.BaseValue is > 0 and <= 1000 ? value.BaseValue : throw OutOfRange(parameter, value, "above 0 and no more than 1000");
    }

    private static Quantity Parse(PatternParameter parameter, string text)
    {
        if (!Quantity.TryParse(text, [parameter.Dimension], out Quantity quantity, out QuantityFault? fault))
        {
            throw new CompileException(GenerateCodes.BadValue, $"'{parameter.Name}' {fault.Problem}", fix: fault.Fix);
        }

        return quantity;
    }

    private static CompileException OutOfRange(PatternParameter parameter, Quantity value, string range) => new(
        GenerateCodes.BadValue,
        $"'{parameter.Name}' is {value}, but must be {range}",
        fix: $"the default is {parameter.Default}");
}
