namespace PatternCompiler.Pictures;

/// <summary>What a file format must be able to draw. Pixels, x to the right, y down.</summary>
internal interface IPictureSurface
{
    /// <summary>Fills an upright rectangle; edges on whole pixels stay sharp.</summary>
    void FillRectangle(double x, double y, double width, double height, PictureColour colour);

    /// <summary>Fills rows of whole pixels, one pixel high.</summary>
    void FillRuns(ReadOnlySpan<PixelRun> runs, PictureColour colour);

    /// <summary>Fills the rings of a path by the nonzero rule.</summary>
    void Fill(ScreenPath path, PictureColour colour);

    /// <summary>Draws along the parts of a path with round ends.</summary>
    void Stroke(ScreenPath path, PictureColour colour, double width, bool closed = false, bool dashed = false);

    /// <summary>Draws a disc at every point of a path.</summary>
    void Discs(ScreenPath path, PictureColour colour, double radius);

    /// <summary>Limits what follows to a rectangle until <see cref="EndClip"/>.</summary>
    void BeginClip(double x, double y, double width, double height);

    /// <summary>Ends the limit.</summary>
    void EndClip();
}

/// <summary>Pixels side by side in one row.</summary>
/// <param name="X">Column of the first.</param>
/// <param name="Y">Row.</param>
/// <param name="Length">Number of pixels.</param>
internal readonly record struct PixelRun(int X, int Y, int Length);
