using PatternCompiler.Units;

namespace PatternCompiler.Cli.Starter;

/// <summary>One value that a newcomer is asked for, or gives as an option.</summary>
/// <param name="Option">Name of the option.</param>
/// <param name="Key">Key in the machine or process file.</param>
/// <param name="Text">What it is, for the help and the prompt.</param>
/// <param name="BuiltIn">The built-in value, taken when the answer is empty.</param>
/// <param name="Dimension">What it measures; null for a number of bits and a word.</param>
/// <param name="Words">The words of which it is one; null for numbers.</param>
internal sealed record Question(string Option, string Key, string Text, string BuiltIn, Dimension? Dimension, string[]? Words = null)
{
    /// <summary>All questions in the order in which they are asked.</summary>
    public static IReadOnlyList<Question> All { get; } =
    [
        new("--bits", "dac.bits", "Resolution of the converters in bits.", "16", null),
        new("--lowest", "dac.lowest", "Output voltage of the lowest code.", "-10 V", Units.Dimension.Voltage),
        new("--highest", "dac.highest", "Upper end of the output voltage range.", "10 V", Units.Dimension.Voltage),
        new("--field", "deflection.field", "Sample width that the whole voltage range covers.", "100 um", Units.Dimension.Length),
        new("--clock", "clock.rate", "Clock rate of the controller.", "10 MHz", Units.Dimension.Frequency),
        new("--current", "beam.current", "Beam current on the sample.", "100 pA", Units.Dimension.Current),
        new("--spot", "beam.spot", "Spot size, full width at half maximum.", "20 nm", Units.Dimension.Length),
        new("--energy", "beam.energy", "Beam energy.", "30 keV", Units.Dimension.Energy),
        new("--tone", "resist.tone", "Tone of the resist, positive or negative: exposed resist dissolves, or stays.", Jobs.Choices.Tone.Words[0], null, [.. Jobs.Choices.Tone.Words]),
        new("--dose", "dose.area", "Base area dose; twice the dose that prints puts edges where they are drawn.", "300 uC/cm2", Units.Dimension.AreaDose),
        new("--clearing", "resist.clearing", "Dose at which the resist is gone, or a negative one is whole (its retention dose).", "150 uC/cm2", Units.Dimension.AreaDose),
        new("--onset", "resist.onset", "Dose at which the resist starts to thin, or a negative one to stay (its gel dose).", "100 uC/cm2", Units.Dimension.AreaDose),
        new("--link", "link.rate", "Sustained rate of the connection to the controller.", "1 MB/s", Units.Dimension.DataRate),
    ];

    /// <summary>What stands for an answer in the help.</summary>
    public string HelpName => Words is not null ? string.Join('|', Words) : Dimension is null ? "N" : "QUANTITY";

    /// <summary>Checks an answer; returns what is wrong with it, or null.</summary>
    public string? Fault(string answer)
    {
        if (Words is not null)
        {
            return Words.Contains(answer) ? null : $"'{string.Join("' or '", Words)}' is needed, not '{answer}'";
        }

        if (Dimension is null)
        {
            return NumberText.TryParseInteger(answer, out long bits) && bits is >= 8 and <= 24 ? null : $"a whole number from 8 to 24 is needed, not '{answer}'";
        }

        return Quantity.TryParse(answer, [Dimension.Value], out _, out QuantityFault? fault) ? null : $"it {fault.Problem}; {fault.Fix}";
    }
}
