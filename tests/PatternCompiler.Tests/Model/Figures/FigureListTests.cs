using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Model.Figures;

public sealed class FigureListTests
{
    /// <summary>Around the sizes at which it grows.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(16)]
    [InlineData(17)]
    [InlineData(16_384)]
    [InlineData(16_385)]
    [InlineData(40_000)]
    public void Figures_come_back_as_they_were_added(int count)
    {
        Figure[] all = [.. Enumerable.Range(0, count).Select(i => Figure.FromDot(i % 3, DoseFactor.One, new GridPoint(i, -i)))];
        var list = new FigureList();
        foreach (Figure figure in all.AsSpan(0, count / 2))
        {
            list.Add(figure);
        }

        list.AddRange(all.Skip(count / 2));
        Assert.Equal(count, list.Count);
        Assert.Equal(all, list);
        Assert.All([-1, count], index => Assert.Throws<ArgumentOutOfRangeException>(() => list[index]));
    }
}
