using System.Runtime.ExceptionServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Order;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Where writing each of some figures starts and ends, for the order of writing: strokes are made once and dropped again, many
/// figures at a time.
/// </summary>
/// <param name="Items">The ends of each figure, in femtometres, in the order in which they are numbered.</param>
/// <param name="IsWritten">False for a figure that gets no stroke at all; its ends mean nothing then.</param>
internal sealed record FigureEnds(TravelItem[] Items, bool[] IsWritten)
{
    private const int FiguresAtOnce = 512;

    /// <summary>Ends of some figures.</summary>
    /// <exception cref="CompileException">A figure cannot be filled; the first one in order is told.</exception>
    public static FigureEnds Of(
        IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, long gridFemtometres, CancellationToken cancellation)
    {
        var ends = new FigureEnds(new TravelItem[numbers.Length], new bool[numbers.Length]);
        int chunks = (numbers.Length + FiguresAtOnce - 1) / FiguresAtOnce;
        var faults = new CompileException?[chunks];
        Parallel.For(
            0,
            chunks,
            new ParallelOptions { CancellationToken = cancellation },
            () => new FigureStrokes(new FillTally { IsCounting = false }, gridFemtometres),
            (chunk, _, strokes) =>
            {
                try
                {
                    int last = Math.Min(numbers.Length, (chunk + 1) * FiguresAtOnce);
                    for (int i = chunk * FiguresAtOnce; i < last; i++)
                    {
                        strokes.Make(figures[numbers[i]], numbers[i], plan, pass: 0);
                        ends.IsWritten[i] = strokes.Ends.HasValue;
                        ends.Items[i] = strokes.Ends ?? default;
                    }
                }
                catch (CompileException fault)
                {
                    faults[chunk] = fault;
                }

                return strokes;
            },
            _ => { });
        if (Array.Find(faults, fault => fault is not null) is CompileException first)
        {
            ExceptionDispatchInfo.Throw(first);
        }

        return ends;
    }
}
