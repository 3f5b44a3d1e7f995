namespace PatternCompiler.Prediction.Stray;

/// <summary>Adds up what tracks print and keeps the worst of them.</summary>
internal sealed class StrayTally
{
    private const int MostKept = 1000;
    private readonly PriorityQueue<StrayJump, (double, long)> worst = new();
    private long printing;
    private double printedLength;
    private double outsideLength;
    private double largest;
    private double fog;

    /// <summary>Takes a dose on an unexposed place that prints nothing.</summary>
    public void Expose(double dose) => largest = Math.Max(largest, dose);

    /// <summary>Takes the largest energy of what leaks out of focus, as a part of the onset.</summary>
    public void Haze(double part) => fog = Math.Max(fog, part);

    /// <summary>Takes a jump that prints.</summary>
    public void Print(in StrayJump jump)
    {
        printing++;
        printedLength += jump.PrintedLengthNanometres;
        outsideLength += jump.OutsideLengthNanometres;
        largest = Math.Max(largest, jump.PeakDoseCoulombsPerSquareMetre);
        worst.Enqueue(jump, (Weight(jump), -jump.Record));
        if (worst.Count > MostKept)
        {
            worst.Dequeue();
        }
    }

    /// <summary>The same so far, to take more without changing this one.</summary>
    public StrayTally Copy()
    {
        var copy = new StrayTally { printing = printing, printedLength = printedLength, outsideLength = outsideLength, largest = largest, fog = fog };
        copy.worst.EnqueueRange(worst.UnorderedItems);
        return copy;
    }

    /// <summary>What was taken.</summary>
    public StrayReport ToReport(long jumps, bool isAlone) => new(
        jumps,
        printing,
        printedLength,
        largest,
        [.. worst.UnorderedItems.Select(item => item.Element).OrderByDescending(Weight).ThenBy(jump => jump.Record)],
        isAlone)
    {
        OutsideLengthNanometres = outsideLength,
        FogPartOfOnset = fog,
    };

    private static double Weight(StrayJump jump) => jump.PeakDoseCoulombsPerSquareMetre * jump.PrintedLengthNanometres;
}
