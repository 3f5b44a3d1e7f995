using System.Collections.Immutable;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Reports;

/// <summary>Everything that the index of a batch shows.</summary>
/// <param name="Name">Name of the batch.</param>
/// <param name="ToolVersion">Version of the program.</param>
/// <param name="Rows">Its jobs, in order.</param>
internal sealed record IndexContent(string Name, string ToolVersion, ImmutableArray<IndexRow> Rows)
{
    /// <summary>Settings in which the jobs differ and that have an order; the one with most values first.</summary>
    public ImmutableArray<IndexAxis> Axes { get; init; } = [];

    /// <summary>What else differs between jobs and is no number, such as the fill strategy.</summary>
    public ImmutableArray<string> Others { get; init; } = [];
}

/// <summary>A setting in which the jobs of a batch differ.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Together">Names of settings that change with it.</param>
internal sealed record IndexAxis(string Name, ImmutableArray<string> Together);

/// <summary>The value of a setting in a job.</summary>
/// <param name="Number">Its place in the order of all values.</param>
/// <param name="Text">The value with its unit.</param>
internal readonly record struct IndexValue(double Number, string Text);

/// <summary>One job of a batch in its index.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Link">Its report, relative to the index; null if it has none.</param>
/// <param name="Status">Built, up to date or failed.</param>
/// <param name="Failure">The error of a job that failed, or null.</param>
internal sealed record IndexRow(string Name, string? Link, string Status, Diagnostic? Failure)
{
    /// <summary>Write time of the exposure; null where it is not known.</summary>
    public double? WriteSeconds { get; init; }

    /// <summary>Charge of the exposure; null where it is not known.</summary>
    public double? ChargeCoulombs { get; init; }

    /// <summary>Number of records; null where it is not known.</summary>
    public long? Records { get; init; }

    /// <summary>Number of warnings; null where it is not known.</summary>
    public int? Warnings { get; init; }

    /// <summary>The outputs have other bytes than before; null where there is nothing to compare with.</summary>
    public bool? HasNewBytes { get; init; }

    /// <summary>Why it was built.</summary>
    public ImmutableArray<string> Reasons { get; init; } = [];

    /// <summary>Its value of each setting in which the jobs differ; empty where its settings cannot be read.</summary>
    public ImmutableArray<IndexValue> Values { get; init; } = [];

    /// <summary>Its words for what else differs, in the same order.</summary>
    public ImmutableArray<string> OtherWords { get; init; } = [];

    /// <summary>What its report predicts; null where nothing was predicted.</summary>
    public PredictedPrint? Print { get; init; }
}
