namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// Finds parts that print nowhere near their own area, or print far beyond it: an edge that is off by more than it is looked
/// for. Rows come one by one; those within reach of the one that is judged are kept.
/// </summary>
/// <param name="isMissing">Looks for drawn parts that do not print; otherwise for printed parts that are not drawn.</param>
/// <param name="reach">Edges that are off by no more are edge errors; in grid steps.</param>
internal sealed class PartFinder(bool isMissing, double reach)
{
    private readonly List<(int Row, RowStretch[] Stretches)> window = [];
    private readonly List<(double Left, double Right)> left = [];
    private readonly List<(double Left, double Right)> next = [];
    private int judged;

    /// <summary>A stretch beyond reach, with the area that it is part of and the region of the other pattern that it lies in.</summary>
    public List<(int Carrier, int Other, SampleWindow Box)> Found { get; } = [];

    /// <summary>Takes the next row.</summary>
    public void Add(int row, List<RowStretch> stretches)
    {
        window.Add((row, [.. stretches]));
        while (window[judged].Row + reach < row)
        {
            Judge();
        }
    }

    /// <summary>Judges the last rows.</summary>
    public void Finish()
    {
        while (judged < window.Count)
        {
            Judge();
        }
    }

    private Region CarrierOf(in RowStretch stretch) => isMissing ? stretch.Drawn : stretch.Printed;

    private Region OtherOf(in RowStretch stretch) => isMissing ? stretch.Printed : stretch.Drawn;

    private void Judge()
    {
        (int row, RowStretch[] stretches) = window[judged];
        for (int i = 0; i < stretches.Length; i++)
        {
            ref readonly RowStretch stretch = ref stretches[i];
            if (CarrierOf(stretch).IsArea && !OtherOf(stretch).IsArea && !IsBesideShared(stretches, i))
            {
                JudgeStretch(row, stretch);
            }
        }

        judged++;
        int gone = 0;
        while (gone < judged && window[gone].Row + reach < (judged < window.Count ? window[judged].Row : row))
        {
            gone++;
        }

        window.RemoveRange(0, gone);
        judged -= gone;
    }

    // The usual case: an upright edge that is a little off.
    private bool IsBesideShared(RowStretch[] stretches, int i)
    {
        ref readonly RowStretch stretch = ref stretches[i];
        return stretch.Right - stretch.Left <= reach
            && ((i > 0 && IsShared(stretches[i - 1], CarrierOf(stretch).Ring)) || (i + 1 < stretches.Length && IsShared(stretches[i + 1], CarrierOf(stretch).Ring)));
    }

    private bool IsShared(in RowStretch stretch, int carrier) =>
        stretch.Printed.IsArea && stretch.Drawn.IsArea && CarrierOf(stretch).Ring == carrier;

    /// <summary>Takes off the stretch what lies within reach of area that both patterns cover, nearest rows first.</summary>
    private void JudgeStretch(int row, in RowStretch stretch)
    {
        int carrier = CarrierOf(stretch).Ring;
        left.Clear();
        left.Add((stretch.Left, stretch.Right));
        (int below, int above) = (judged, judged + 1);
        while (left.Count > 0 && (below >= 0 || above < window.Count))
        {
            double down = below >= 0 ? (double)row - window[below].Row : double.PositiveInfinity;
            double up = above < window.Count ? (double)window[above].Row - row : double.PositiveInfinity;
            double distance = Math.Min(down, up);
            if (distance > reach)
            {
                break;
            }

            TakeOff(window[down <= up ? below-- : above++].Stretches, carrier, Math.Sqrt(reach * reach - distance * distance));
        }

        foreach ((double from, double to) in left)
        {
            Found.Add((carrier, OtherOf(stretch).Ring, new SampleWindow(from, row, to, row)));
        }
    }

    private void TakeOff(RowStretch[] stretches, int carrier, double half)
    {
        for (int i = FirstEndingBeyond(stretches, left[0].Left - half); i < stretches.Length && left.Count > 0 && stretches[i].Left < left[^1].Right + half; i++)
        {
            if (!IsShared(stretches[i], carrier))
            {
                continue;
            }

            (double from, double to) = (stretches[i].Left - half, stretches[i].Right + half);
            next.Clear();
            foreach ((double a, double b) in left)
            {
                if (to <= a || from >= b)
                {
                    next.Add((a, b));
                    continue;
                }

                if (from > a)
                {
                    next.Add((a, from));
                }

                if (to < b)
                {
                    next.Add((to, b));
                }
            }

            left.Clear();
            left.AddRange(next);
        }
    }

    private static int FirstEndingBeyond(RowStretch[] stretches, double x)
    {
        (int low, int high) = (0, stretches.Length);
        while (low < high)
        {
            int middle = (low + high) / 2;
            (low, high) = stretches[middle].Right <= x ? (middle + 1, high) : (low, middle);
        }

        return low;
    }
}
