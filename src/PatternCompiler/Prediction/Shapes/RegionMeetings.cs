namespace PatternCompiler.Prediction.Shapes;

/// <summary>Which printed and drawn regions of one sort, areas or gaps, have a part in common.</summary>
internal sealed class RegionMeetings
{
    private const int Remembered = 4096;
    private readonly HashSet<(int Printed, int Drawn)> areas = [];
    private readonly HashSet<(int Printed, int Drawn)> bare = [(-1, -1)];
    private readonly (int Printed, int Drawn)[] recent = new (int, int)[Remembered];

    public RegionMeetings() => Array.Fill(recent, (int.MinValue, 0));

    /// <summary>Pairs of regions that meet, named by their rings.</summary>
    public IReadOnlySet<(int Printed, int Drawn)> Pairs(bool isArea) => isArea ? areas : bare;

    public void Add(in RowStretch stretch)
    {
        if (stretch.Printed.IsArea != stretch.Drawn.IsArea)
        {
            return;
        }

        // Rows repeat themselves: most pairs have been seen just before. A ring has one sort of region, so that the pair tells the sort.
        (int, int) pair = (stretch.Printed.Ring, stretch.Drawn.Ring);
        int place = (stretch.Printed.Ring * 31 + stretch.Drawn.Ring) & (Remembered - 1);
        if (recent[place] != pair)
        {
            recent[place] = pair;
            (stretch.Printed.IsArea ? areas : bare).Add(pair);
        }
    }
}
