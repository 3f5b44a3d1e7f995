using System.Runtime.ExceptionServices;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Fill;

/// <summary>
/// Where writing a figure starts and ends, for the order of writing: its strokes are made once and dropped again, many
/// figures at a time.
/// </summary>
/// <param name="IsWritten">False if the figure gets no stroke at all; the places mean nothing then.</param>
/// <param name="EntryX">Where writing starts, in femtometres.</param>
/// <param name="EntryY">Where writing starts.</param>
/// <param name="ExitX">Where writing ends.</param>
/// <param name="ExitY">Where writing ends.</param>
internal readonly record struct FigureEnds(bool IsWritten, long EntryX, long EntryY, long ExitX, long ExitY)
{
    private const int FiguresAtOnce = 512;

    /// <summary>Ends of some figures, in the order in which they are numbered.</summary>
    /// <exception cref="CompileException">A figure cannot be filled; the first one in order is told.</exception>
    public static FigureEnds[] Of(
        IReadOnlyList<Figure> figures, int[] numbers, LayerPlan plan, long gridFemtometres, CancellationToken cancellation)
    {
        var ends = new FigureEnds[numbers.Length];
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
                        ends[i] = strokes.Ends;
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
