using System.Collections.Immutable;

namespace PatternCompiler.Passes.Fill;

/// <summary>How areas are covered with strokes. This one fills each by lines of its own; others take those of a layer together.</summary>
public class FillStrategy
{
    private protected FillStrategy(string word, bool isOneWay)
    {
        Word = word;
        IsOneWay = isOneWay;
    }

    /// <summary>Every strategy: settings, options, reports and completions take the words from here. The first is the usual one.</summary>
    public static ImmutableArray<FillStrategy> All { get; } =
    [
        new("lines", isOneWay: false),
        new("one-way lines", isOneWay: true),
        new RasterFill("raster", isOneWay: false),
        new RasterFill("one-way raster", isOneWay: true),
        new ContourFill("contour then lines", reachesInward: false),
        new ContourFill("inward contours", reachesInward: true),
    ];

    /// <summary>Its name in settings and reports; as an option's value with dashes for blanks.</summary>
    public string Word { get; }

    /// <summary>True if all lines run in one direction, for deflections with lag.</summary>
    internal bool IsOneWay { get; }

    /// <summary>
    /// True if all areas of a layer share one grid of pixels: its rows run along x unless told otherwise, and where pixels are
    /// tested by their centres they need not stand on codes.
    /// </summary>
    internal virtual bool SharesPixels => false;

    /// <summary>The strategy of a name.</summary>
    /// <exception cref="InvalidOperationException">There is none.</exception>
    public static FillStrategy Of(string word) => All.Single(strategy => strategy.Word == word);

    /// <inheritdoc/>
    public override string ToString() => Word;

    /// <summary>Takes the areas of a layer together, once for all passes over it.</summary>
    /// <param name="layer">The layer and where its strokes go.</param>
    /// <returns>Writes the areas in the pass, from 0, that it is given; null to have areas written one by one.</returns>
    internal virtual Action<int>? Begin(LayerAreas layer) => null;
}
