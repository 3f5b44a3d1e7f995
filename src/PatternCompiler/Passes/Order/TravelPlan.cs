namespace PatternCompiler.Passes.Order;

/// <summary>An order of items.</summary>
/// <param name="Order">Indices of the items in writing order.</param>
/// <param name="IsReversed">For each place in the order: the item is written backwards.</param>
/// <param name="LengthBefore">Blanked travel in the order in which the items came.</param>
/// <param name="LengthAfter">Blanked travel in this order.</param>
/// <param name="LowerBound">No order can travel less.</param>
internal sealed record TravelPlan(int[] Order, bool[] IsReversed, double LengthBefore, double LengthAfter, double LowerBound);
