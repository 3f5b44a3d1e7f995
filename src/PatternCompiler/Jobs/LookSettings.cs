using System.Collections.Immutable;

namespace PatternCompiler.Jobs;

/// <summary>How marks of the layer below are looked at with the writing beam.</summary>
/// <param name="Below">Drawings of the layer below, its marks among them, where they lie in this job's drawing.</param>
/// <param name="MarksLayer">Layer of the marks.</param>
/// <param name="Marks">Names and middles of the marks.</param>
/// <param name="WindowNanometres">Side of each window.</param>
/// <param name="StepNanometres">Between points.</param>
/// <param name="DwellSeconds">Of a point.</param>
/// <param name="WithinNanometres">How far the layer may lie off.</param>
/// <param name="Looks">How many looks the resist is to bear, this one among them.</param>
public sealed record LookSettings(
    ImmutableArray<JobSource> Below,
    string MarksLayer,
    ImmutableArray<LookMark> Marks,
    double WindowNanometres,
    double StepNanometres,
    double DwellSeconds,
    double WithinNanometres,
    int Looks)
{
    /// <summary>Points along a side of a window.</summary>
    internal int Points => (int)Math.Round(WindowNanometres / StepNanometres, MidpointRounding.AwayFromZero);

    /// <summary>Points of all windows.</summary>
    internal long AllPoints => (long)Points * Points * Marks.Length;
}

/// <summary>A mark to look at.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="XNanometres">Its middle.</param>
/// <param name="YNanometres">Its middle.</param>
public sealed record LookMark(string Name, double XNanometres, double YNanometres);
