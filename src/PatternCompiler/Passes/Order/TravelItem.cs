namespace PatternCompiler.Passes.Order;

/// <summary>
/// Something that is written in one stretch with the beam on: where it is entered and where it is left. Written backwards
/// the two change places. Any unit of length, the same for all items.
/// </summary>
/// <param name="EntryX">Where writing starts.</param>
/// <param name="EntryY">Where writing starts.</param>
/// <param name="ExitX">Where writing ends.</param>
/// <param name="ExitY">Where writing ends.</param>
public readonly record struct TravelItem(double EntryX, double EntryY, double ExitX, double ExitY)
{
    /// <summary>An item that starts and ends at one place.</summary>
    public static TravelItem Dot(double x, double y) => new(x, y, x, y);
}
