using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Starter;

/// <summary>What a new set of settings files is made from. A null value leaves the built-in one.</summary>
/// <param name="Name">Name of machine and job.</param>
/// <param name="Drawing">The drawing that the job names.</param>
/// <param name="Values">Key in the machine or process file → text of the value.</param>
/// <param name="HasBlanker">False writes "blanker: none".</param>
/// <param name="IsCentred">Whether the middle of the pattern lies in that of the field, in place of its origin.</param>
internal sealed record StarterSettings(string Name, string Drawing, IReadOnlyDictionary<string, string> Values, bool HasBlanker, bool IsCentred)
{
    /// <summary>Line pitch and point step, in codes.</summary>
    public int SpacingCodes { get; init; } = 1;

    /// <summary>Whether lines are sent ahead by what the beam lags behind.</summary>
    public bool CancelsLag { get; init; }

    private static readonly string[] DoseKeys = ["dose.area", "resist.clearing", "resist.onset"];
    private static readonly string[] ProcessKeys = ["resist.tone", .. DoseKeys];

    // The clearing dose over the onset in the built-in process.
    private const double Steepness = 1.5;

    /// <summary>Where the schema of a kind of file lies, from the folder of the file.</summary>
    public static string SchemaPath(string kind) => $"schemas/{kind}.json";

    private bool IsNegative => IsNegativeIn(Values);

    private string Material => IsNegative ? "negative resist" : "positive PMMA";

    /// <summary>True for a dose that follows from answers there are: from other doses, or from a negative tone.</summary>
    public static bool Follows(string key, IReadOnlyDictionary<string, string> answers) =>
        DoseKeys.Contains(key) && (DoseKeys.Any(answers.ContainsKey) || IsNegativeIn(answers));

    private static bool IsNegativeIn(IReadOnlyDictionary<string, string> answers) =>
        answers.GetValueOrDefault("resist.tone") == Choices.Tone.WordOf(ResistTone.Negative);

    /// <summary>Text of the machine file.</summary>
    public string MachineText()
    {
        var template = new SettingsTemplate(
            DefaultFiles.MachineText,
            SchemaLine("machine"),
            "",
            "The pattern writer. Values that you did not choose are typical ones: measure the field width at your",
            "magnification, the beam current, the spot size and the delays, and write them here.",
            "",
            "Quantities carry their units (V, um, us, MHz, pA, keV, MB/s, KiB); u stands for µ.");
        template.Set("machine", Scalar(Name));
        foreach ((string key, string value) in Values.Where(entry => !ProcessKeys.Contains(entry.Key)))
        {
            template.Set(key, value);
        }

        if (CancelsLag)
        {
            template.Set("settle.cancel_lag", "yes");
        }

        return (HasBlanker ? template : template.ReplaceBlock("blanker", "blanker: none")).ToString();
    }

    /// <summary>Text of the process file.</summary>
    public string ProcessText()
    {
        var template = new SettingsTemplate(
            DefaultFiles.ProcessText,
            SchemaLine("process"),
            "",
            "The resist and its doses. Clearing dose depends on the resist's molecular weight, the developer and its",
            "temperature, the substrate and the beam energy: write a dose test before anything that matters.");
        template.Set("process", $"{Material} on silicon, 30 kV");
        SetDoses(template);
        if (Values.TryGetValue("beam.energy", out string? energy))
        {
            SetSpread(template, Measured(energy, Dimension.Energy).In(Unit.Electronvolt) / 1000);
        }

        return template.ToString();
    }

    /// <summary>Whichever doses are given, the others follow, so that the base dose is twice the dose that prints.</summary>
    private void SetDoses(SettingsTemplate template)
    {
        (double? area, double? clearing, double? onset) = (Dose("dose.area"), Dose("resist.clearing"), Dose("resist.onset"));
        if (!IsNegative)
        {
            double? prints = clearing ?? area / 2 ?? onset * Steepness;
            Set(prints, 2 * prints, prints / Steepness);
            return;
        }

        // Half of a negative resist remains at the geometric mean of onset and clearing dose.
        template.Set("resist.tone", Choices.Tone.WordOf(ResistTone.Negative));
        double half = Math.Sqrt(Steepness);
        double remains = (onset is double start && clearing is double whole ? Math.Sqrt(start * whole) : area / 2 ?? clearing / half ?? onset * half)
            ?? Measured(Question.All.First(question => question.Key == "dose.area").BuiltIn, Dimension.AreaDose).In(Unit.CoulombPerSquareMetre) / 2;
        Set(remains * remains / onset ?? remains * half, 2 * remains, remains * remains / clearing ?? remains / half);
        ToneWords words = ToneWords.Of(ResistTone.Negative);
        template.Rename("resist.onset", words.First).Rename("resist.clearing", words.Last);

        double? Dose(string key) => Values.TryGetValue(key, out string? given) ? Measured(given, Dimension.AreaDose).In(Unit.CoulombPerSquareMetre) : null;

        void Set(double? whole, double? area, double? start)
        {
            foreach ((string key, double? value) in ((string, double?)[])[("dose.area", area), ("resist.onset", start), ("resist.clearing", whole)])
            {
                if (value is double dose)
                {
                    template.Set(key, Values.TryGetValue(key, out string? given) ? given : QuantityText.Format(dose, Dimension.AreaDose, 3));
                }
            }
        }
    }

    private void SetSpread(SettingsTemplate template, double kiloelectronvolts)
    {
        template.Set("process", $"{Material} on silicon, {NumberText.Format(kiloelectronvolts)} kV");
        string[] source = ["# How the beam's energy spreads in the resist, for proximity correction and prediction. For 0.5 um of resist on silicon", $"# ({PublishedSpread.SourceText}):",
            .. PublishedSpread.Table.Select(one => $"#   {NumberText.Format(one.EnergyKiloelectronvolts)} keV: forward {Range(one, 0)}, backscatter {Range(one, 1)}, ratio {NumberText.Format(one.Spread.Terms[1].Ratio)}")];
        if (PublishedSpread.For(kiloelectronvolts) is not PublishedSpread published)
        {
            template.ReplaceComment("# How the beam's energy", [.. source, "# Nothing suits the energy asked for: measure it (\"patternc fit spread\") and write it here, with the letters alpha, beta", "# and eta of the literature or with the words forward, backscatter and ratio."]);
            template.ReplaceBlock("spread", "# spread: {forward: 59 nm, backscatter: 4 um, ratio: 0.74}");
            return;
        }

        template.ReplaceComment("# How the beam's energy", [.. source, $"# Below are the values for {NumberText.Format(kiloelectronvolts)} keV{(published.IsInterpolated ? ", interpolated" : "")}: replace them by your own measurement (\"patternc fit spread\"). The letters of the", "# literature can stand for the words: alpha (forward), beta (backscatter), eta (ratio)."]);
        template.Set("spread.forward", Range(published, 0));
        template.Set("spread.backscatter", Range(published, 1));
        template.Set("spread.ratio", NumberText.Format(published.Spread.Terms[1].Ratio));
    }

    // The comment by which editors' YAML language server finds a schema.
    private static string SchemaLine(string kind) => $"yaml-language-server: $schema={SchemaPath(kind)}";

    private static string Range(PublishedSpread spread, int term) =>
        QuantityText.Format(spread.Spread.Terms[term].RangeNanometres * 1e-9, Dimension.Length, 2);

    private static Quantity Measured(string text, Dimension dimension) =>
        Quantity.TryParse(text, [dimension], out Quantity value, out _) ? value : throw new ArgumentException($"'{text}' has been read before.", nameof(text));

    /// <summary>Text of the job file.</summary>
    public string JobText()
    {
        string stem = Path.GetFileNameWithoutExtension(Drawing);
        return new SettingsTemplate(DefaultFiles.JobText, SchemaLine("job"), "", "What to write and how. Paths are relative to this file.")
            .Set("job", Scalar(Name))
            .ReplaceLines("# machine:", 2, "machine: machine.yaml", "process: process.yaml")
            .ReplaceLines(
                "# sources:",
                2,
                "sources:                              # the drawings; several are laid over each other",
                $"  - file: {Scalar(Drawing)}")
            .Set("position", Choices.Position.WordOf(IsCentred ? PatternPosition.Centred : PatternPosition.AsDrawn))
            .Set("fill.line_pitch", SpacingCodes == 1 ? "1 code" : $"{SpacingCodes} codes")
            .Set("fill.point_step", SpacingCodes == 1 ? "1 code" : $"{SpacingCodes} codes")
            .ReplaceLines(
                "# outputs:",
                4,
                "outputs:",
                $"  - file: {Scalar($"out/{stem}.stream")}",
                $"    format: stream                    # {OutputFormats.Choice.Alternatives}",
                $"report: {Scalar($"out/{stem}.html")}".PadRight(38) + "# one page with pictures, doses, times, limits and predicted resist")
            .ToString();
    }

    /// <summary>A text as a YAML value; quoted unless it is plain beyond doubt.</summary>
    private static string Scalar(string text)
    {
        bool isPlain = text.Length > 0 && char.IsAsciiLetter(text[0]) && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '.' or '/' or '-');
        return isPlain ? text : $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
    }
}
