using System.Collections.Immutable;
using PatternCompiler.Pictures.Plots;

namespace PatternCompiler.Prediction.Waveforms;

/// <summary>One strip of a picture of traces: lines over the common time.</summary>
/// <param name="Left">The scale at its left.</param>
/// <param name="LeftTicks">Ticks of that scale: places between 0 (bottom) and 1, and their labels.</param>
/// <param name="RightLabel">Name of the scale at its right.</param>
/// <param name="RightTicks">Ticks of the scale at its right.</param>
/// <param name="Share">Its part of the height.</param>
/// <param name="Curves">Its lines, in drawing order.</param>
internal sealed record WaveformPanel(
    string Left,
    ImmutableArray<(double Place, string Label)> LeftTicks,
    string RightLabel,
    ImmutableArray<(double Place, string Label)> RightTicks,
    double Share,
    ImmutableArray<WaveformCurve> Curves);

/// <summary>How a line of a picture of traces is drawn, so that it can be told without colours.</summary>
internal enum CurveLook
{
    /// <summary>What was measured: a broad, pale band behind the others.</summary>
    Measured,

    /// <summary>What is commanded: a full line.</summary>
    Commanded,

    /// <summary>What is predicted: a dashed line.</summary>
    Predicted,
}

/// <summary>A line over time.</summary>
/// <param name="Look">How it is drawn.</param>
/// <param name="Pieces">Stretches of time in order, from 0 to 1 across the panel, with what the line does in each, from 0 (bottom) to 1.</param>
internal sealed record WaveformCurve(CurveLook Look, ImmutableArray<(double From, double To, Envelope Course)> Pieces);
