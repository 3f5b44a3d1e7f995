using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Points;

/// <summary>
/// The blank line of an output: its level for beam on and off. Forms that always hold the line give it the levels of a
/// line that blanks high where the machine has no blanker to connect it to.
/// </summary>
internal readonly struct BlankLine
{
    private readonly bool isHighWhenOff;

    /// <summary>The line of a machine.</summary>
    /// <exception cref="CompileException">The header does not state the level.</exception>
    public BlankLine(RecordsHeader header)
    {
        if (header.BlankLevel == BlankLevel.NotStated)
        {
            throw new CompileException(
                BackEndCodes.UnknownBlankLevel,
                "the records do not say which level of the blank line turns the beam off, and this output holds the line",
                fix: "name the machine file with --machine, or make the records again with patternc scale");
        }

        isHighWhenOff = header.BlankLevel != BlankLevel.Low;
    }

    /// <summary>True if the line is high.</summary>
    public bool IsHigh(bool isOn) => isOn != isHighWhenOff;

    /// <summary>True if the beam is on with the line at a level.</summary>
    public bool IsOn(bool isHigh) => isHigh != isHighWhenOff;

    /// <summary>The level with the beam off of a line that was seen with the beam on or off.</summary>
    public static BlankLevel LevelOf(bool isOn, bool isHigh) => isOn != isHigh ? BlankLevel.High : BlankLevel.Low;

    /// <summary>Refuses data that were made for the other level.</summary>
    public static CompileException Mismatch(SourcePlace place, BlankLevel ofMachine, BlankLevel ofData, string what) => new(
        BackEndCodes.OtherBlankLevel,
        $"{what} for {Describe(ofData)}, and the machine has {Describe(ofMachine)}",
        place,
        "name the machine file with which it was made");

    /// <summary>Refuses data whose last point exposes.</summary>
    public static CompileException EndsExposing(SourcePlace place, string what) => new(
        BackEndCodes.EndsExposing,
        $"{what} ends with the beam on",
        place,
        "name the machine file with which it was made, or emit it again if it was cut short");

    /// <summary>A level in words.</summary>
    public static string Describe(BlankLevel level) => level switch
    {
        BlankLevel.High => "a blank line that is high with the beam off",
        BlankLevel.Low => "a blank line that is low with the beam off",
        BlankLevel.NoBlanker => "no blanker",
        _ => "a level that is not stated",
    };
}
