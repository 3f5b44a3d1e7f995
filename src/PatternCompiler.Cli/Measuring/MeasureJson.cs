using System.Text.Json.Serialization;
using PatternCompiler.Cli.Simulating;
using PatternCompiler.Files;
using PatternCompiler.Measure;
using PatternCompiler.Measure.Micrographs;

namespace PatternCompiler.Cli.Measuring;

/// <summary>What was measured in a micrograph, for scripts; every property is a key, in this order. What is not known has no value.</summary>
internal readonly struct MeasureJson(Micrograph picture, MeasuredPicture measured)
{
    public int WidthPixels => picture.Width;
    public int HeightPixels => measured.Rows;
    public double NanometresPerPixel => measured.Map.NanometresPerPixel;
    public double StatedNanometresPerPixel => measured.StatedPixelNanometres;
    public double? ScaleRelativeError => Known(measured.ScaleError);
    public double MiddleXNanometres => measured.Map.CentreX;
    public double MiddleYNanometres => measured.Map.CentreY;
    public double RotationDegrees => measured.Map.RotationDegrees;
    public double ExplainedPart => measured.Explained;
    public double ResidualNanometres => measured.ResidualNanometres;
    public double BlurNanometres => measured.BlurNanometres;
    public double? EdgePlaceErrorNanometres => Known(measured.EdgePlaceErrorNanometres);
    public EdgesDocument Edges => new(measured.Edges) { NoiseNanometres = measured.EdgeNoiseNanometres };
    public IEnumerable<WidthDocument> Widths => measured.Widths.Select(width => new WidthDocument(width));
    public IEnumerable<SquareDocument> Squares => measured.Squares.Select(square => new SquareDocument(square));
    public IEnumerable<CrossDocument> Crosses => measured.Crosses.Select(cross => new CrossDocument(cross));
    public IEnumerable<LineDocument> Lines => measured.Lines.Select(line => new LineDocument(line));
    public IEnumerable<DotDocument> Dots => measured.Dots.Select(dot => new DotDocument(dot));
    public IEnumerable<VernierDocument> Verniers => measured.Verniers.Select(vernier => new VernierDocument(vernier));

    /// <summary>Writes one object and a line feed.</summary>
    public static void Write(Micrograph picture, MeasuredPicture measured, Stream output) =>
        JsonFile.Write(new MeasureJson(picture, measured), MeasureTypes.Default, output);

    /// <summary>Null for what is not known.</summary>
    public static double? Known(double value) => double.IsFinite(value) ? value : null;
}

internal readonly struct WidthDocument(MeasuredWidth width)
{
    public string Feature => width.IsGap ? "gap" : "bar";
    public double XNanometres => width.XNanometres;
    public double YNanometres => width.YNanometres;
    public double DrawnNanometres => width.DrawnNanometres;
    public double MeasuredNanometres => width.WidthNanometres;
    public double? LowNanometres => MeasureJson.Known(width.LowNanometres);
    public double? HighNanometres => MeasureJson.Known(width.HighNanometres);
    public double? WidthRoughnessNanometres => MeasureJson.Known(width.WidthRoughnessNanometres);
    public double? EdgeRoughnessNanometres => MeasureJson.Known(width.EdgeRoughnessNanometres);
    public int Places => width.Places;
    public double? DoseFactor => MeasureJson.Known(width.DoseFactor);
}

internal readonly struct SquareDocument(MeasuredSquare square)
{
    public double XNanometres => square.XNanometres;
    public double YNanometres => square.YNanometres;
    public double SideNanometres => square.SideNanometres;
    public double? DoseFactor => MeasureJson.Known(square.DoseFactor);
    public double Contrast => square.Contrast;
    public bool? Prints => square.Prints;
}

internal readonly struct CrossDocument(MeasuredCross cross)
{
    public double DrawnXNanometres => cross.XNanometres;
    public double DrawnYNanometres => cross.YNanometres;
    public double MeasuredXNanometres => cross.MeasuredX;
    public double MeasuredYNanometres => cross.MeasuredY;
    public double StandardErrorXNanometres => cross.ErrorX;
    public double StandardErrorYNanometres => cross.ErrorY;
}

internal readonly struct LineDocument(MeasuredLine line)
{
    public double StartXNanometres => line.StartX;
    public double StartYNanometres => line.StartY;
    public double EndXNanometres => line.EndX;
    public double EndYNanometres => line.EndY;
    public string Layer => line.Layer;
    public double DoseFactor => line.DoseFactor;
    public int Times => line.Times;
    public double WidthNanometres => line.WidthNanometres;
    public double BeforeStartNanometres => line.BeforeStartNanometres;
    public double BeyondEndNanometres => line.BeyondEndNanometres;
    public double StandardErrorNanometres => line.StandardErrorNanometres;
}

internal readonly struct DotDocument(MeasuredDot dot)
{
    public double DrawnXNanometres => dot.XNanometres;
    public double DrawnYNanometres => dot.YNanometres;
    public double MeasuredXNanometres => dot.MeasuredX;
    public double MeasuredYNanometres => dot.MeasuredY;
    public double RadiusNanometres => dot.RadiusNanometres;
    public double StandardErrorXNanometres => dot.ErrorX;
    public double StandardErrorYNanometres => dot.ErrorY;
    public int Visits => dot.Visits;
}

internal readonly struct VernierDocument(MeasuredVernier vernier)
{
    public double XNanometres => vernier.XNanometres;
    public double YNanometres => vernier.YNanometres;
    public double OffsetXNanometres => vernier.OffsetX;
    public double OffsetYNanometres => vernier.OffsetY;
    public double StandardErrorXNanometres => vernier.ErrorX;
    public double StandardErrorYNanometres => vernier.ErrorY;
    public double StepNanometres => vernier.StepNanometres;
    public double Reading => vernier.Reading;
}

[JsonSourceGenerationOptions(DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull)]
[JsonSerializable(typeof(MeasureJson))]
internal sealed partial class MeasureTypes : JsonSerializerContext;
