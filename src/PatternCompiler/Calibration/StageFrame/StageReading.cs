namespace PatternCompiler.Calibration.StageFrame;

/// <summary>A reading of the stage with a mark in view, in nanometres.</summary>
/// <param name="Name">What the mark is called; several readings of one are numbered.</param>
/// <param name="PlaceX">Where the mark lies in the pattern; 0 for a mark of which nobody knows it.</param>
/// <param name="PlaceY">Where the mark lies in the pattern.</param>
/// <param name="SeenX">Where in the beam's field it was seen, from the field's middle.</param>
/// <param name="SeenY">Where in the beam's field it was seen.</param>
/// <param name="ReadingX">What the stage reads.</param>
/// <param name="ReadingY">What the stage reads.</param>
/// <param name="ErrorX">Standard error of the place; NaN where nobody states any.</param>
/// <param name="ErrorY">Standard error of the place.</param>
/// <param name="FromAboveX">The stage has come down to the reading.</param>
/// <param name="FromAboveY">The stage has come down to the reading.</param>
/// <param name="Focus">Reading of the working distance at which the mark is in focus; NaN where it was not read.</param>
internal sealed record StageReading(
    string Name,
    double PlaceX,
    double PlaceY,
    double SeenX,
    double SeenY,
    double ReadingX,
    double ReadingY,
    double ErrorX,
    double ErrorY,
    bool FromAboveX,
    bool FromAboveY,
    double Focus)
{
    /// <summary>The place that is under the undeflected beam, from the same origin as the mark's.</summary>
    public (double X, double Y) Under => (PlaceX - SeenX, PlaceY - SeenY);
}
