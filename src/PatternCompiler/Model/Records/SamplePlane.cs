namespace PatternCompiler.Model.Records;

/// <summary>
/// Turns record codes into places on the sample by the ideal, linear field that a <see cref="RecordsHeader"/> describes:
/// the middle of the voltage range is the origin.
/// </summary>
internal readonly struct SamplePlane
{
    private readonly double middle;
    private readonly double stepX;
    private readonly double stepY;
    private readonly bool areAxesSwapped;

    /// <summary>The plane of a records document.</summary>
    public SamplePlane(RecordsHeader header)
    {
        middle = (header.Dac.MaximumVolts - header.Dac.MinimumVolts) / header.Dac.LsbVolts / 2;
        stepX = header.NanometresPerCodeX;
        stepY = header.NanometresPerCodeY;
        areAxesSwapped = header.AxesAreSwapped;
    }

    /// <summary>Nanometres from code to code along the sample's x axis, greater than zero.</summary>
    public double StepAlongX => Math.Abs(areAxesSwapped ? stepY : stepX);

    /// <summary>Nanometres from code to code along the sample's y axis, greater than zero.</summary>
    public double StepAlongY => Math.Abs(areAxesSwapped ? stepX : stepY);

    /// <summary>Where a pair of codes sends the beam, in nanometres from the field's centre.</summary>
    public (double X, double Y) PlaceOf(int codeX, int codeY)
    {
        double fromX = (codeX - middle) * stepX;
        double fromY = (codeY - middle) * stepY;
        return areAxesSwapped ? (fromY, fromX) : (fromX, fromY);
    }
}
