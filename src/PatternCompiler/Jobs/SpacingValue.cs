using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Turns what a user writes for a line pitch or point step into a spacing.</summary>
internal static class SpacingValue
{
    /// <summary>What stands for a spacing that is to be chosen.</summary>
    public const string AutomaticName = "automatic";

    private const double MostCodes = 1 << 24;

    /// <summary>A length, or a whole number of codes; false if the number of codes is not whole.</summary>
    /// <param name="quantity">A length or a number of codes, above zero.</param>
    /// <param name="spacing">The spacing.</param>
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
