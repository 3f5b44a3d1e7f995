using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Reports;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What an entry was last built from, and into what.</summary>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Fingerprint">The batch's values.</param>
/// <param name="Inputs">Every file that was read.</param>
/// <param name="Outputs">Every file that was made.</param>
internal sealed record BuildRecord(
    string ToolVersion, string Fingerprint, ImmutableArray<FileStamp> Inputs, ImmutableArray<FileStamp> Outputs)
{
    /// <summary>The build in figures; null in records of versions that kept none.</summary>
    public BuildFigures? Figures { get; init; }

    /// <summary>What the build lost; told again whenever it is found up to date.</summary>
    public ImmutableArray<Diagnostic> Losses { get; init; } = [];

    /// <summary>What its report predicts; null without a report, or where nothing can be predicted.</summary>
    public PredictedPrint? Print { get; init; }
}

/// <summary>What is told of a build in lists of many, kept with its record.</summary>
/// <param name="WriteSeconds">Write time of the exposure.</param>
/// <param name="Warnings">Number of warnings.</param>
/// <param name="Notes">Number of notes.</param>
internal sealed record BuildFigures(double WriteSeconds, int Warnings, int Notes)
{
    /// <summary>Number of records; null in records of versions that did not keep it.</summary>
    public long? Records { get; init; }

    /// <summary>Charge of all strokes; null likewise.</summary>
    public double? ChargeCoulombs { get; init; }
}
