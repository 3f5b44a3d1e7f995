using System.Text.RegularExpressions;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a machine file about the words of motion programs.</summary>
internal static partial class MotionSection
{
    // A dwell of a point is far below this, so that a longer step is a wrong unit.
    private const double LongestStepSeconds = 1;
    private const double ShortestStepSeconds = 1e-12;

    public static MotionDialect Read(YamlNode node)
    {
        YamlMapping motion = node.AsMapping();
        var usual = new MotionDialect();
        string on = motion.Optional("beam_on") is YamlNode wordOn ? ReadWord(wordOn) : usual.BeamOn;
        string off = motion.Optional("beam_off") is YamlNode wordOff ? ReadWord(wordOff) : usual.BeamOff;
        return on != off
            ? new MotionDialect
            {
                VoltsPerUnit = motion.Optional("volts_per_unit")?.AsPositive(Unit.Volt) ?? 0,
                DwellStepSeconds = motion.Optional("dwell_step") is YamlNode step ? ReadStep(step) : 0,
                DwellWord = motion.Optional("dwell_word")?.AsChoice(Choices.DwellWord) ?? usual.DwellWord,
                BeamOn = on,
                BeamOff = off,
            }
            : throw (motion.Optional("beam_on") ?? motion.Required("beam_off")).OutOfRange(
                $"'motion.beam_on' and 'motion.beam_off' are both {on}: the beam would never be off", "give the word that turns the beam off as 'beam_off'");
    }

    private static double ReadStep(YamlNode node)
    {
        double seconds = node.AsPositive(Unit.Second);
        return seconds is >= ShortestStepSeconds and <= LongestStepSeconds
            ? seconds
            : throw node.OutOfRange($"{node.Name} must be from 1 ps to 1 s, but it is {node.AsText()}", "look for a wrong unit");
    }

    /// <summary>"M3", "M62 P0", "M3 S1000": one M word and at most one number with it; none that stops the program or changes the tool.</summary>
    private static string ReadWord(YamlNode node)
    {
        string word = node.AsText();
        return BeamWord().IsMatch(word) && !Stopping().IsMatch(word)
            ? word
            : throw node.OutOfRange(
                $"{node.Name} must be an M word with at most one P, Q or S word behind it, and neither stop the program nor change the tool, but it is '{word}'",
                "write for example M3, M62 P0 or M3 S1000");
    }

    [GeneratedRegex(@"^M(0|[1-9]\d{0,2})( [PQS]\d{1,6}(\.\d{1,4})?)?\z")]
    private static partial Regex BeamWord();

    [GeneratedRegex(@"^M(0|1|2|6|30|60)( |\z)")]
    private static partial Regex Stopping();
}
