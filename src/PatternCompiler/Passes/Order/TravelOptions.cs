namespace PatternCompiler.Passes.Order;

/// <summary>What an order of items must respect.</summary>
/// <param name="AllowsReversal">Items may be written backwards.</param>
/// <param name="Start">Where the beam stands before the first item, or null if that does not matter.</param>
/// <param name="ReturnsToStart">The way back to <paramref name="Start"/> counts.</param>
/// <param name="MostTrials">
/// Limit of the trials of improvement, of which there are at most ten per item. A limit on work, not on time, so that the
/// result is the same on every machine.
/// </param>
internal sealed record TravelOptions(bool AllowsReversal, (double X, double Y)? Start = null, bool ReturnsToStart = false, int MostTrials = TravelOptions.DefaultTrials)
{
    /// <summary>Comes within a few percent of the shortest travel in one or two seconds for 100,000 items.</summary>
    public const int DefaultTrials = 30_000;
}
