namespace PatternCompiler.Jobs;

/// <summary>The report that a build writes.</summary>
/// <param name="Path">Where it goes, one HTML file.</param>
public sealed record JobReport(string Path)
{
    /// <summary>What tells this build from others of the same job, in words; empty where nothing does.</summary>
    public string Variant { get; init; } = "";

    /// <summary>Middle of the part that is shown closely and simulated; null for the place with most edges.</summary>
    public (double XNanometres, double YNanometres)? Centre { get; init; }

    /// <summary>Width of that part; null for what the spot allows in a short time.</summary>
    public double? WidthNanometres { get; init; }
}
