using System.Collections.Immutable;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>As what a value has been read. Reading is the only place that says what a key takes; the schemas for editors are made from it.</summary>
internal abstract record YamlReading
{
    private YamlReading()
    {
    }

    /// <summary>Any text.</summary>
    public sealed record Text : YamlReading;

    /// <summary>One of a few words.</summary>
    public sealed record Word(ImmutableArray<string> Words) : YamlReading;

    /// <summary>A whole number within limits.</summary>
    public sealed record WholeNumber(long Minimum, long Maximum) : YamlReading;

    /// <summary>A plain number within limits.</summary>
    public sealed record Number(double Minimum, double Maximum) : YamlReading;

    /// <summary>A quantity of one of some dimensions.</summary>
    public sealed record Amount(ImmutableArray<Dimension> Dimensions, bool CanBeNegative) : YamlReading;
}
