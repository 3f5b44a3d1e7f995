using System.Collections.Immutable;
using PatternCompiler.Instrument;

namespace PatternCompiler.Calibration.Converters;

/// <summary>What two outputs really give.</summary>
/// <param name="X">The X output.</param>
/// <param name="Y">The Y output.</param>
/// <param name="StepVolts">Voltage of a step that the machine file states.</param>
internal sealed record ConverterFit(OutputFit X, OutputFit Y, double StepVolts)
{
    /// <summary>True if places on the sample were read instead of voltages, which tell nothing of gain, offset and crosstalk.</summary>
    public bool IsFromPlaces { get; init; }
}

/// <summary>What one output really gives.</summary>
/// <param name="Axis">'x' or 'y'.</param>
internal sealed record OutputFit(char Axis)
{
    /// <summary>By how much a step of the straight line through all codes is larger than the machine file states, in percent of it.</summary>
    public required FitParameter GainError { get; init; }

    /// <summary>By how much that line lies too high in the middle of the range, in millivolts.</summary>
    public required FitParameter Offset { get; init; }

    /// <summary>Volts of this output per volt of the other; null where the other was not moved.</summary>
    public required FitParameter? Crosstalk { get; init; }

    /// <summary>What each code gives, by rising code.</summary>
    public required ImmutableArray<OutputLevel> Levels { get; init; }

    /// <summary>Codes that the amplifier follows, as far as they were read.</summary>
    public required CodeRange Usable { get; init; }

    /// <summary>True if the amplifier stops following at the lower, at the upper end.</summary>
    public required (bool Low, bool High) Clips { get; init; }

    /// <summary>Readings that were used, and what is left between them and the fit: root mean square and largest, in steps.</summary>
    public required (int Count, double RootMeanSquare, double Largest) Residuals { get; init; }

    /// <summary>Readings beyond what the fit needs.</summary>
    public required int DegreesOfFreedom { get; init; }

    /// <summary>The code at which the output is furthest from its own straight line, and how far, in steps.</summary>
    public required (int Code, double Steps) LargestNonlinearity { get; init; }

    /// <summary>The pairs of a machine file.</summary>
    public CodeLinearity Linearity => new([.. Levels.Select(level => (level.Code, level.DeviationSteps))]);
}

/// <summary>What a code gives while the other output stands in the middle of its range.</summary>
/// <param name="Code">The code.</param>
/// <param name="DeviationSteps">Steps above the straight line that the machine file states.</param>
/// <param name="StandardErrorSteps">Its standard error; not a number where nothing is known of it.</param>
/// <param name="Readings">How many there were.</param>
internal readonly record struct OutputLevel(int Code, double DeviationSteps, double StandardErrorSteps, int Readings);
