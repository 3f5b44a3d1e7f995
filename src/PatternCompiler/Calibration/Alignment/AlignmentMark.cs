namespace PatternCompiler.Calibration.Alignment;

/// <summary>A mark of the layer below: where it is wanted and where it was found, in nanometres.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="WantedX">Where the drawing has it.</param>
/// <param name="WantedY">Where the drawing has it.</param>
/// <param name="FoundX">Where the beam found it; NaN for a mark that its picture does not show.</param>
/// <param name="FoundY">Where the beam found it; NaN for a mark that its picture does not show.</param>
/// <param name="ErrorX">Standard error; NaN where nobody states any.</param>
/// <param name="ErrorY">Standard error; NaN where nobody states any.</param>
internal sealed record AlignmentMark(string Name, double WantedX, double WantedY, double FoundX, double FoundY, double ErrorX, double ErrorY)
{
    /// <summary>Its picture shows it.</summary>
    public bool IsFound => !double.IsNaN(FoundX) && !double.IsNaN(FoundY);
}

/// <summary>What of a layer's place is fitted.</summary>
internal enum AlignmentModel
{
    /// <summary>Offset alone.</summary>
    Shift,

    /// <summary>Offset, rotation and one scale.</summary>
    Similarity,

    /// <summary>Offset, rotation, two scales and skew.</summary>
    Affine,
}
