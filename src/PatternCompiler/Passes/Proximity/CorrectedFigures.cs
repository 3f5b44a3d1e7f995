using System.Collections;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Proximity;

/// <summary>Figures with other doses: a dose a figure, instead of every figure a second time.</summary>
internal sealed class CorrectedFigures : IReadOnlyList<Figure>
{
    private readonly IReadOnlyList<Figure> figures;
    private readonly DoseFactor[] doses;

    /// <summary>Multiplies the dose factors of figures.</summary>
    public CorrectedFigures(IReadOnlyList<Figure> figures, float[] corrections)
    {
        this.figures = figures;
        doses = new DoseFactor[corrections.Length];
        for (int i = 0; i < doses.Length; i++)
        {
            doses[i] = figures[i].DoseFactor * DoseFactor.FromValue(corrections[i]);
        }
    }

    public int Count => doses.Length;

    public Figure this[int index] => figures[index] with { DoseFactor = doses[index] };

    public IEnumerator<Figure> GetEnumerator()
    {
        for (int i = 0; i < doses.Length; i++)
        {
            yield return this[i];
        }
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
