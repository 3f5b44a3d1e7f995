using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Turns what a user writes for a line pitch or point step into a spacing.</summary>
public static class SpacingValue
{
    private const double MostCodes = 1 << 24;

    /// <summary>A length, or a whole number of codes.</summary>
    /// <param name="quantity">A length or a number of codes, above zero.</param>
    /// <exception cref="CompileException">The number of codes is not whole.</exception>
    public static Spacing From(Quantity quantity) => TryFrom(quantity, out Spacing spacing)
        ? spacing
        : throw new CompileException(JobCodes.ValueOutOfRange, $"a spacing in codes must be whole, but it is {quantity}");

    /// <summary>As <see cref="From"/>, false where that throws.</summary>
    public static bool TryFrom(Quantity quantity, out Spacing spacing)
    {
        if (quantity.Dimension == Dimension.Length)
        {
            spacing = Spacing.FromNanometres(quantity.In(Unit.Nanometre));
            return true;
        }

        double codes = quantity.In(Unit.Code);
        bool isWhole = codes == Math.Floor(codes) && codes <= MostCodes;
        spacing = isWhole ? Spacing.FromCodes((int)codes) : default;
        return isWhole;
    }
}
