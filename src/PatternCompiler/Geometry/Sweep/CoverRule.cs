namespace PatternCompiler.Geometry.Sweep;

/// <summary>Decides from the two winding numbers whether a point belongs to the result.</summary>
internal readonly record struct CoverRule(BooleanOperation Operation, FillRule First, FillRule Second)
{
    public static CoverRule Single(FillRule rule) => new(BooleanOperation.Union, rule, FillRule.NonZero);

    public bool Covers(Winding winding)
    {
        if (winding.Packed == 0)
        {
            return false;
        }

        bool a = Covers(First, winding.First);
        bool b = Covers(Second, winding.Second);
        return Operation switch
        {
            BooleanOperation.Union => a | b,
            BooleanOperation.Intersection => a & b,
            BooleanOperation.Difference => a & !b,
            _ => a ^ b,
        };
    }

    private static bool Covers(FillRule rule, int winding) => rule switch
    {
        FillRule.NonZero => winding != 0,
        FillRule.EvenOdd => (winding & 1) != 0,
        _ => winding > 0,
    };
}
