using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>Tells documents apart by their first bytes.</summary>
internal static class DocumentKinds
{
    /// <summary>True for the binary form that starts with this magic, whatever its version.</summary>
    public static bool IsBinary(ReadOnlySpan<byte> first, ReadOnlySpan<byte> magic) =>
        first.Length >= CarrierMagic.KindLength && first.StartsWith(magic[..CarrierMagic.KindLength]);

    /// <summary>True for the text form whose first line starts with this word and a space.</summary>
    public static bool IsText(ReadOnlySpan<byte> first, ReadOnlySpan<byte> word) =>
        first.Length > word.Length && first.StartsWith(word) && first[word.Length] == ' ';

    /// <summary>The error for first bytes of something else.</summary>
    public static CompileException NotRecognised(ReadOnlySpan<byte> first, string name, string wanted, string maker) =>
        NotRecognised(DocumentCodes.NotThisDocument, first, name, wanted, maker);

    /// <summary>The error for first bytes of something else, under another code.</summary>
    public static CompileException NotRecognised(
        DiagnosticCode code, ReadOnlySpan<byte> first, string name, string wanted, string maker) =>
        new(code, $"expected {wanted}, found {Shown(first)}", new SourcePlace(name), $"make {wanted} with {maker}");

    /// <summary>Warns of layers that share a name.</summary>
    public static void WarnOfEqualLayers(ImmutableArray<string> layers, string name, DiagnosticSink diagnostics)
    {
        var seen = new HashSet<string>(StringComparer.Ordinal);
        foreach (string layer in layers)
        {
            if (!seen.Add(layer))
            {
                diagnostics.Warn(
                    DocumentCodes.LayerNamedTwice,
                    $"two layers are named {QuotedText.Quote(layer)}",
                    new SourcePlace(name),
                    "give each layer its own name");
            }
        }
    }

    private static string Shown(ReadOnlySpan<byte> first)
    {
        if (first.Length == 0)
        {
            return "nothing at all";
        }

        if (IsBinary(first, CarrierMagic.Figures))
        {
            return "figures";
        }

        if (IsBinary(first, CarrierMagic.Strokes))
        {
            return "strokes";
        }

        if (IsBinary(first, CarrierMagic.Records))
        {
            return "records";
        }

        return first.ContainsAnyExceptInRange((byte)' ', (byte)'~')
            ? $"bytes {string.Join(' ', first.ToArray().Select(value => value.ToString("X2", CultureInfo.InvariantCulture)))}"
            : $"text that starts with \"{Encoding.ASCII.GetString(first)}\"";
    }
}
