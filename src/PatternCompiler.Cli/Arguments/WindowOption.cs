using System.CommandLine;
using PatternCompiler.Pictures;

namespace PatternCompiler.Cli.Arguments;

/// <summary>The option that names a part of the sample by its middle and its width.</summary>
internal static class WindowOption
{
    /// <summary>The option; null unless given.</summary>
    public static Option<PictureWindow?> Create(string description) => new("--window")
    {
        Description = $"{description.TrimEnd('.')}, such as \"10 um, -5 um, 2 um\".",
        HelpName = "X,Y,WIDTH",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            if (LengthList.TryParse(text, 3) is not { } lengths)
            {
                result.AddError($"option '--window' takes three lengths X,Y,WIDTH, not '{text}'; write for example \"10 um, -5 um, 2 um\"");
                return null;
            }

            if (lengths[2] > 0)
            {
                return new PictureWindow(lengths[0], lengths[1], lengths[2]);
            }

            result.AddError($"option '--window' takes a width above zero, not '{text.Split(',')[2].Trim()}'");
            return null;
        },
    };
}
