using System.Collections.Immutable;

namespace PatternCompiler.Passes.Fields;

/// <summary>Registration marks that every write field gets.</summary>
/// <param name="Layer">
/// Their layer. Without <see cref="Places"/> it is a layer of the pattern, whose figures are written in every field that
/// holds them whole; with places it is the name of the layer that the made marks go to.
/// </param>
/// <param name="AreFirst">Written before everything else in the field, or after it.</param>
public sealed record FieldMarks(string Layer, bool AreFirst)
{
    /// <summary>Where marks stand, in nanometres from the field's centre.</summary>
    public ImmutableArray<(double X, double Y)> Places { get; init; } = [];

    /// <summary>The rectangles that made marks consist of, in nanometres from the field's centre; those of one mark overlap.</summary>
    public IEnumerable<(double Left, double Bottom, double Right, double Top)> Rectangles()
    {
        double half = SizeNanometres / 2;
        double bar = Shape == MarkShape.Square ? half : Math.Min(half, BarNanometres / 2);
        foreach ((double x, double y) in Places)
        {
            yield return (x - half, y - bar, x + half, y + bar);
            yield return (x - bar, y - half, x + bar, y + half);
        }
    }

    /// <summary>Their shape.</summary>
    public MarkShape Shape { get; init; }

    /// <summary>Their width and height.</summary>
    public double SizeNanometres { get; init; }

    /// <summary>Width of a cross's bars.</summary>
    public double BarNanometres { get; init; }
}

/// <summary>The shape of a registration mark.</summary>
public enum MarkShape
{
    /// <summary>A cross of two bars.</summary>
    Cross,

    /// <summary>A filled square.</summary>
    Square,
}
