using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Pictures;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Compare;

/// <summary>
/// Pictures where two layouts differ: what only the first covers, what only the second does, and what both do; single lines
/// and dots likewise. Layers are laid over each other.
/// </summary>
internal static class AreaDifferencePicture
{
    /// <summary>Composes the picture.</summary>
    public static Scene Compose(FlatLayout first, FlatLayout second, PictureOptions options, WorkLimits limits, CancellationToken cancellation)
    {
        (first, second) = CommonGrid.Of(first, second);
        (ContourSet onlyFirst, ContourSet onlySecond, ContourSet common) = AreaComparer.Parts(first, second, limits, cancellation);
        ImmutableArray<ImmutableArray<GridPoint>> firstLines = [.. first.Groups.SelectMany(group => group.Lines)];
        ImmutableArray<ImmutableArray<GridPoint>> secondLines = [.. second.Groups.SelectMany(group => group.Lines)];
        HashSet<string> firstKeys = [.. firstLines.Select(KeyOf)];
        HashSet<string> secondKeys = [.. secondLines.Select(KeyOf)];
        HashSet<GridPoint> firstDots = [.. first.Groups.SelectMany(group => group.Dots)];
        HashSet<GridPoint> secondDots = [.. second.Groups.SelectMany(group => group.Dots)];
        var parts = new FlatLayout(
            first.GridPicometres,
            ["both", "only the first", "only the second"],
            [
                new FlatLayer(0, DoseFactor.One, common, [.. firstLines.Where(line => secondKeys.Contains(KeyOf(line)))], [.. firstDots.Where(secondDots.Contains)]),
                new FlatLayer(1, DoseFactor.One, onlyFirst, [.. firstLines.Where(line => !secondKeys.Contains(KeyOf(line)))], [.. firstDots.Where(dot => !secondDots.Contains(dot))]),
                new FlatLayer(2, DoseFactor.One, onlySecond, [.. secondLines.Where(line => !firstKeys.Contains(KeyOf(line)))], [.. secondDots.Where(dot => !firstDots.Contains(dot))]),
            ]);
        return LayoutPicture.Compose(parts, options with { Title = FactText.Join(options.Title, "difference") });
    }

    /// <summary>The same for a line and its reverse.</summary>
    private static string KeyOf(ImmutableArray<GridPoint> line)
    {
        string forward = string.Join(' ', line.Select(point => $"{point.X},{point.Y}"));
        string backward = string.Join(' ', line.Reverse().Select(point => $"{point.X},{point.Y}"));
        return string.CompareOrdinal(forward, backward) < 0 ? forward : backward;
    }
}
