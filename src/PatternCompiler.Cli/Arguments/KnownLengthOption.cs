using System.CommandLine;
using PatternCompiler.Calibration.Field;

namespace PatternCompiler.Cli.Arguments;

/// <summary>The option that states a distance between two marks.</summary>
internal static class KnownLengthOption
{
    /// <summary>The option; null unless given.</summary>
    public static Option<KnownLength?> Create() => new("--known")
    {
        Description = "A distance on the sample that is known, between two marks called by their drawn places, such as \"-42 um, 0 um, 42 um, 0 um, 84.03 um\".",
        HelpName = "X,Y,X,Y,LENGTH",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (LengthList.TryParse(text, 5) is not { } lengths)
            {
                result.AddError($"option '--known' takes five lengths X,Y,X,Y,LENGTH, not '{text}'; write for example \"-42 um, 0 um, 42 um, 0 um, 84.03 um\"");
                return null;
            }

            if (lengths[4] > 0 && (lengths[0] != lengths[2] || lengths[1] != lengths[3]))
            {
                return new KnownLength(lengths[0], lengths[1], lengths[2], lengths[3], lengths[4]);
            }

            result.AddError($"option '--known' takes two different places and a length above zero, not '{text}'");
            return null;
        },
    };
}
