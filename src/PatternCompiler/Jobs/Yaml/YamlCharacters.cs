using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// The characters of which a settings file may consist: those that YAML 1.2.2 calls printable (section 5.1), less the line
/// breaks of YAML 1.1 alone (U+0085, U+2028, U+2029), which the two versions read differently, and less byte-order
/// marks: the one before a text is taken off when its bytes are read.
/// </summary>
internal static class YamlCharacters
{
    /// <summary>Refuses a text with any other character.</summary>
    /// <exception cref="CompileException">Names the first such character and its place.</exception>
    public static void Require(YamlSource source)
    {
        string text = source.Text;
        int line = 1;
        int lineStart = 0;
        for (int i = 0; i < text.Length; i++)
        {
            char character = text[i];
            if (character == '\n' || (character == '\r' && (i + 1 == text.Length || text[i + 1] != '\n')))
            {
                line++;
                lineStart = i + 1;
            }
            else if (char.IsHighSurrogate(character) && i + 1 < text.Length && char.IsLowSurrogate(text[i + 1]))
            {
                i++;
            }
            else if (!IsAllowed(character))
            {
                throw Fault(source, character, line, i - lineStart + 1);
            }
        }
    }

    private static bool IsAllowed(char character) => character switch
    {
        '\t' or '\r' => true,
        '\uFEFF' or '\u2028' or '\u2029' or '\uFFFE' or '\uFFFF' => false,
        _ => !char.IsControl(character) && !char.IsSurrogate(character),
    };

    private static CompileException Fault(YamlSource source, char character, int line, int column) => character == '\0'
        ? new CompileException(JobCodes.YamlSyntax, "the file is binary, not YAML text", new SourcePlace(source.File), "check the file name")
        : new CompileException(
            JobCodes.YamlSyntax,
            $"the character U+{((int)character).ToString("X4", CultureInfo.InvariantCulture)}, which no editor shows, stands here",
            new SourcePlace(source.File, line, column),
            "delete it");
}
