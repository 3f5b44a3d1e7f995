namespace PatternCompiler.VirtualLab.Specimen;

/// <summary>An upright part of the sample, in nanometres.</summary>
public readonly record struct SampleWindow(double Left, double Bottom, double Right, double Top)
{
    public static SampleWindow Around(double x, double y, double width, double height) =>
        new(x - (width / 2), y - (height / 2), x + (width / 2), y + (height / 2));

    public SampleWindow Widened(double by) => new(Left - by, Bottom - by, Right + by, Top + by);
}
