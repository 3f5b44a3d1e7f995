using System.Globalization;
using System.Text;
using System.Text.Unicode;

namespace PatternCompiler.Fuzz.Running;

/// <summary>An input that did what none may, made short.</summary>
/// <param name="Target">What was run.</param>
/// <param name="Seed">Seed of the campaign.</param>
/// <param name="Origin">How to make the input again.</param>
/// <param name="Fault">What was wrong.</param>
/// <param name="Input">The shrunk input.</param>
internal sealed record Finding(string Target, int Seed, Lineage Origin, Fault Fault, byte[] Input)
{
    /// <summary>The report: what happened, the input as a literal for a test, and how to run it again alone.</summary>
    public override string ToString() => string.Join('\n',
        $"{Target}: {Fault.Kind} in {Fault.Where}",
        Indented(Fault.Details),
        $"  input ({Input.Length} bytes): {Literal(Input)}",
        $"  again: --target {Target} --seed {Seed} --again {Origin}");

    /// <summary>Bytes as C#: a string where they are text, a list of numbers where not.</summary>
    public static string Literal(ReadOnlySpan<byte> bytes)
    {
        if (!Utf8.IsValid(bytes) || bytes.Contains((byte)0))
        {
            return $"Convert.FromHexString(\"{Convert.ToHexString(bytes)}\")";
        }

        var text = new StringBuilder("\"");
        foreach (char character in Encoding.UTF8.GetString(bytes))
        {
            text.Append(character switch
            {
                '"' => "\\\"",
                '\\' => "\\\\",
                '\n' => "\\n",
                '\r' => "\\r",
                '\t' => "\\t",
                < ' ' or > '~' => "\\u" + ((int)character).ToString("X4", CultureInfo.InvariantCulture),
                _ => character.ToString(),
            });
        }

        return text.Append('"').ToString();
    }

    private static string Indented(string details) =>
        string.Join('\n', details.Split('\n').Take(14).Select(line => "    " + line.TrimEnd()));
}
