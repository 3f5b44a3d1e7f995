using System.Text;
using System.Text.Json;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Reports.Html;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Every number among the settings of a build, as it holds after defaults, with a name and its unit.</summary>
internal static class NumericSettings
{
    // Enough to tell any two values of a series apart.
    private const int Digits = 6;
    private const string Parameters = ".parameters.";

    // Where a number says no more than where a file puts something, or how long the program may work.
    private static readonly string[] Skipped = ["limits", "place", "nets", "outputs", "provenance"];

    // Endings of names as the settings' records give them; the first that fits holds.
    private static readonly (string Ending, Dimension Dimension, double InBaseUnit)[] Units =
    [
        ("coulombsPerSquareMetre", Dimension.AreaDose, 1), ("coulombsPerMetre", Dimension.LineDose, 1), ("coulombs", Dimension.Charge, 1),
        ("nanometresPerSecond", Dimension.Speed, 1e-9), ("bytesPerSecond", Dimension.DataRate, 1), ("nanometres", Dimension.Length, 1e-9),
        ("picometres", Dimension.Length, 1e-12), ("seconds", Dimension.Time, 1), ("amperes", Dimension.Current, 1), ("electronvolts", Dimension.Energy, 1),
        ("volts", Dimension.Voltage, 1), ("hertz", Dimension.Frequency, 1), ("bytes", Dimension.DataSize, 1), ("degrees", Dimension.Angle, 1),
        ("ticks", Dimension.Ticks, 1), ("codes", Dimension.Codes, 1),
    ];

    /// <summary>All of them, those of the process first, then those of the job and of the machine.</summary>
    public static List<NumericSetting> Of(BuildSettings settings)
    {
        SettingsDocument document = ProvenanceFile.SettingsOf(settings);
        var found = new List<NumericSetting>();
        Collect(document.Process, "process", found);
        Collect(document.Job, "job", found);
        Collect(document.Machine, "machine", found);
        return found;
    }

    /// <summary>A number with the unit that the end of its key states.</summary>
    internal static NumericSetting Read(string key, double value)
    {
        string leaf = key[(key.LastIndexOf('.') + 1)..];
        (string ending, Dimension dimension, double inBaseUnit) = Units.FirstOrDefault(unit => leaf.EndsWith(unit.Ending, StringComparison.OrdinalIgnoreCase), ("", Dimension.Fraction, 1));
        string name = Words(key[..^ending.Length]);
        return new NumericSetting(key, name, value * inBaseUnit, ReportText.Of(value * inBaseUnit, dimension, Digits));
    }

    private static void Collect(JsonElement element, string key, List<NumericSetting> found)
    {
        switch (element.ValueKind)
        {
            case JsonValueKind.Object:
                foreach (JsonProperty property in element.EnumerateObject())
                {
                    if (!Skipped.Contains(property.Name))
                    {
                        Collect(property.Value, $"{key}.{property.Name}", found);
                    }
                }

                break;
            case JsonValueKind.Array:
                int index = 0;
                foreach (JsonElement item in element.EnumerateArray())
                {
                    index++;
                    string name = item.ValueKind == JsonValueKind.Object && (item.TryGetProperty("layer", out JsonElement word) || item.TryGetProperty("name", out word)) && word.ValueKind == JsonValueKind.String
                        ? word.GetString()!
                        : NumberText.Format(index);
                    Collect(item, $"{key}.{name.Replace('.', ' ')}", found);
                }

                break;
            case JsonValueKind.Number:
                if (element.TryGetDouble(out double number) && double.IsFinite(number))
                {
                    found.Add(Read(key, number));
                }

                break;
            case JsonValueKind.String when key.IndexOf(Parameters, StringComparison.Ordinal) is int at and > 0:
                AddParameter(key, key[(at + Parameters.Length)..], element.GetString()!, found);
                break;
            default:
                break;
        }
    }

    /// <summary>A parameter of a drawing is a number with or without a unit, or a word, which is no setting of this kind.</summary>
    private static void AddParameter(string key, string name, string text, List<NumericSetting> found)
    {
        if (Quantity.TryParse(text, Enum.GetValues<Dimension>(), out Quantity quantity, out _))
        {
            found.Add(new NumericSetting(key, "parameter " + name, quantity.Number * quantity.Unit.Factor * Math.Pow(10, quantity.Unit.PowerOfTen), ReportText.Typeset(text)));
        }
    }

    /// <summary>"process.areaDose" as "area dose", "job.fill.linePitch." as "fill line pitch".</summary>
    private static string Words(string key)
    {
        var words = new StringBuilder();
        foreach (string part in key.Split('.').Skip(1).Where(part => part.Length > 0))
        {
            if (words.Length > 0)
            {
                words.Append(' ');
            }

            // Names of layers and the like stay as they are.
            bool isProperty = char.IsAsciiLetterLower(part[0]);
            for (int i = 0; i < part.Length; i++)
            {
                bool startsWord = isProperty && i > 0 && char.IsAsciiLetterUpper(part[i]) && char.IsAsciiLetterLower(part[i - 1]);
                words.Append(startsWord ? $" {char.ToLowerInvariant(part[i])}" : part[i].ToString());
            }
        }

        return words.ToString();
    }
}

/// <summary>A setting that is a number.</summary>
/// <param name="Key">Where it stands among all settings.</param>
/// <param name="Name">What it is called in lists.</param>
/// <param name="Number">Its value in the base unit.</param>
/// <param name="Text">Its value with the unit.</param>
internal readonly record struct NumericSetting(string Key, string Name, double Number, string Text);
