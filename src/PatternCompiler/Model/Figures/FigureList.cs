using System.Collections;

namespace PatternCompiler.Model.Figures;

/// <summary>Figures that grow in number without being copied: ten million of them are held once, not twice.</summary>
internal sealed class FigureList : IReadOnlyList<Figure>
{
    private const int BlockBits = 14;
    private const int BlockSize = 1 << BlockBits;

    private readonly List<Figure[]> blocks = [];

    /// <inheritdoc/>
    public int Count { get; private set; }

    /// <inheritdoc/>
    public Figure this[int index] => (uint)index < (uint)Count
        ? blocks[index >> BlockBits][index & (BlockSize - 1)]
        : throw new ArgumentOutOfRangeException(nameof(index), index, "There is no such figure.");

    /// <summary>Adds a figure at the end.</summary>
    public void Add(in Figure figure)
    {
        int place = Count & (BlockSize - 1);
        if (place == 0)
        {
            // Few figures take little room: the first block grows, every other one is whole.
            blocks.Add(new Figure[Count == 0 ? 16 : BlockSize]);
        }
        else if (place == blocks[^1].Length)
        {
            Figure[] grown = blocks[^1];
            Array.Resize(ref grown, 2 * place);
            blocks[^1] = grown;
        }

        blocks[^1][place] = figure;
        Count++;
    }

    /// <summary>Adds figures at the end.</summary>
    public void AddRange(IEnumerable<Figure> figures)
    {
        foreach (Figure figure in figures)
        {
            Add(figure);
        }
    }

    /// <inheritdoc/>
    public IEnumerator<Figure> GetEnumerator()
    {
        for (int i = 0; i < Count; i++)
        {
            yield return this[i];
        }
    }

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
