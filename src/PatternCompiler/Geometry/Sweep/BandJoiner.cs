namespace PatternCompiler.Geometry.Sweep;

/// <summary>Joins what the sweeps of neighbouring bands found: stand-ins give way to what they stand for in the band below.</summary>
internal sealed class BandJoiner
{
    private const int None = -1;

    private readonly BandSweep[] bands;
    private readonly int[][] borderNumbers;

    public BandJoiner(BandSweep[] bands)
    {
        this.bands = bands;
        borderNumbers = new int[bands.Length][];
    }

    /// <summary>Number of junctions in all bands.</summary>
    public int Junctions { get; private set; }

    /// <summary>The border edges of all bands.</summary>
    public Span<BorderEdge> JoinBorders()
    {
        if (bands.Length == 1)
        {
            Junctions = bands[0].Junctions;
            return bands[0].Borders;
        }

        int total = 0;
        for (int b = 0; b < bands.Length; b++)
        {
            borderNumbers[b] = Number(bands[b].BorderStandIns, bands[b].Borders.Length, ref total, b == 0 ? [] : bands[b - 1].BordersLeft, b == 0 ? [] : borderNumbers[b - 1]);
        }

        BorderEdge[] joined = GC.AllocateUninitializedArray<BorderEdge>(total);
        for (int b = 0; b < bands.Length; b++)
        {
            int[] numbers = borderNumbers[b];
            Span<BorderEdge> borders = bands[b].Borders;
            int standIns = bands[b].BorderStandIns;
            for (int i = 0; i < borders.Length; i++)
            {
                BorderEdge edge = borders[i];
                edge.Follower = edge.Follower == None ? None : numbers[edge.Follower];
                edge.Junction = edge.Junction == None ? None : edge.Junction + Junctions;
                if (i >= standIns)
                {
                    joined[numbers[i]] = edge;
                }
                else
                {
                    ref BorderEdge owner = ref joined[numbers[i]];
                    owner.UpperX = edge.UpperX;
                    owner.UpperY = edge.UpperY;
                    owner.Follower = edge.Follower == None ? owner.Follower : edge.Follower;
                    owner.Junction = edge.Junction == None ? owner.Junction : edge.Junction;
                }
            }

            Junctions += bands[b].Junctions;
        }

        return joined;
    }

    /// <summary>The trapezoids of all bands; call <see cref="JoinBorders"/> first.</summary>
    public Span<OpenTrapezoid> JoinTrapezoids()
    {
        if (bands.Length == 1)
        {
            return bands[0].Trapezoids;
        }

        int total = 0;
        var trapezoidNumbers = new int[bands.Length][];
        for (int b = 0; b < bands.Length; b++)
        {
            trapezoidNumbers[b] = Number(bands[b].TrapezoidStandIns, bands[b].Trapezoids.Length, ref total, b == 0 ? [] : bands[b - 1].TrapezoidsLeft, b == 0 ? [] : trapezoidNumbers[b - 1]);
        }

        OpenTrapezoid[] joined = GC.AllocateUninitializedArray<OpenTrapezoid>(total);
        for (int b = 0; b < bands.Length; b++)
        {
            Span<OpenTrapezoid> trapezoids = bands[b].Trapezoids;
            for (int i = 0; i < trapezoids.Length; i++)
            {
                OpenTrapezoid t = trapezoids[i];
                ref OpenTrapezoid owner = ref joined[trapezoidNumbers[b][i]];
                if (i >= bands[b].TrapezoidStandIns)
                {
                    owner.YBottom = t.YBottom;
                }
                else if (t.YTop == int.MinValue)
                {
                    // Reaches through the whole band.
                    continue;
                }

                owner.YTop = t.YTop;
                owner.Left = borderNumbers[b][t.Left];
                owner.Right = borderNumbers[b][t.Right];
            }
        }

        return joined;
    }

    /// <summary>Numbers in the joined list: stand-ins take those of what they stand for, the others follow in order.</summary>
    private static int[] Number(int standIns, int count, ref int total, List<int> leftBelow, int[] numbersBelow)
    {
        var numbers = new int[count];
        for (int i = 0; i < count; i++)
        {
            numbers[i] = i < standIns ? numbersBelow[leftBelow[i]] : total++;
        }

        return numbers;
    }
}
