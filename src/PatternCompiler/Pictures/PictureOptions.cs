namespace PatternCompiler.Pictures;

/// <summary>How a picture looks.</summary>
internal sealed record PictureOptions
{
    /// <summary>Smallest allowed width or height.</summary>
    public const int SmallestPixels = 240;

    /// <summary>Largest allowed width or height.</summary>
    public const int LargestPixels = 8192;

    /// <summary>First words of the title line, usually the file's name.</summary>
    public string Title { get; init; } = "";

    /// <summary>Width of the whole picture in pixels.</summary>
    public int WidthPixels { get; init; } = 1200;

    /// <summary>Height of the whole picture in pixels; 0 lets the content's shape decide.</summary>
    public int HeightPixels { get; init; }

    /// <summary>Only the plot with its axes: for a page that sets title, facts, legend and notes beside it.</summary>
    public bool IsBare { get; init; }

    /// <summary>The part to show; null shows everything.</summary>
    public PictureWindow? Window { get; init; }

    /// <summary>The DAC's raster; null draws none (a picture of records knows its own).</summary>
    public CodeRaster? CodeRaster { get; init; }
}

/// <summary>The part of the sample to show.</summary>
/// <param name="CentreXNanometres">Middle of the window.</param>
/// <param name="CentreYNanometres">Middle of the window.</param>
/// <param name="WidthNanometres">Width of the window, greater than zero; the height follows from the picture's shape.</param>
internal sealed record PictureWindow(double CentreXNanometres, double CentreYNanometres, double WidthNanometres);
