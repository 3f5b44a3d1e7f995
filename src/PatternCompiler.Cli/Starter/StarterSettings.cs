using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Starter;

/// <summary>What a new set of settings files is made from. A null value leaves the built-in one.</summary>
/// <param name="Name">Name of machine and job.</param>
/// <param name="Drawing">The drawing that the job names.</param>
/// <param name="Values">Key in the machine or process file → text of the value.</param>
/// <param name="HasBlanker">False writes "blanker: none".</param>
internal sealed record StarterSettings(string Name, string Drawing, IReadOnlyDictionary<string, string> Values, bool HasBlanker)
{
    private static readonly string[] ProcessKeys = ["dose.area", "dose.line", "dose.dot", "dose.onset"];

    /// <summary>Text of the machine file.</summary>
    public string MachineText()
    {
        var template = new SettingsTemplate(
            DefaultFiles.MachineText,
            "The pattern writer. Values that you did not choose are typical ones: measure the field width at your",
            "magnification, the beam current, the spot size and the delays, and write them here.",
            "",
            "Quantities carry their units (V, um, us, MHz, pA, keV, MB/s, KiB); u stands for µ.");
        template.Set("machine", Scalar(Name));
        foreach ((string key, string value) in Values.Where(entry => !ProcessKeys.Contains(entry.Key)))
        {
            template.Set(key, value);
        }

        return (HasBlanker ? template : template.ReplaceBlock("blanker", "blanker: none")).ToString();
    }

    /// <summary>Text of the process file.</summary>
    public string ProcessText()
    {
        var template = new SettingsTemplate(
            DefaultFiles.ProcessText,
            "The resist and its doses. Clearing dose depends on the resist's molecular weight, the developer and its",
            "temperature, the substrate and the beam energy: write a dose test before anything that matters.");
        foreach ((string key, string value) in Values.Where(entry => ProcessKeys.Contains(entry.Key)))
        {
            template.Set(key, value);
        }

        return template.ToString();
    }

    /// <summary>Text of the job file.</summary>
    public string JobText()
    {
        string stem = Path.GetFileNameWithoutExtension(Drawing);
        return new SettingsTemplate(DefaultFiles.JobText, "What to write and how. Paths are relative to this file.")
            .Set("job", Scalar(Name))
            .ReplaceComment("# machine:", "machine: machine.yaml", "process: process.yaml")
            .ReplaceComment(
                "# sources:",
                "sources:                              # the drawings; several are laid over each other",
                $"  - file: {Scalar(Drawing)}",
                "#   unit: um                          # overrides the unit stated in the file",
                "#   layers: [pads, fingers]           # left out: all",
                "#   offset: [0 um, 0 um]              # placed here after turning",
                "#   rotate: 0 deg                     # counter-clockwise")
            .ReplaceComment(
                "# outputs:",
                "outputs:",
                $"  - file: {Scalar($"out/{stem}.stream")}",
                "    format: stream                    # stream, words, records, volts, wav, npy or rs274",
                "",
                $"report: {Scalar($"out/{stem}.html")}".PadRight(38) + "# one page with pictures, doses, times, limits and predicted resist",
                "",
                "# keep:                               # documents between the stages",
                $"#   layout: out/{stem}.layout",
                $"#   figures: out/{stem}.figures",
                $"#   strokes: out/{stem}.strokes",
                $"#   records: out/{stem}.records")
            .ToString();
    }

    /// <summary>A text as a YAML value; quoted unless it is plain beyond doubt.</summary>
    private static string Scalar(string text)
    {
        bool isPlain = text.Length > 0 && char.IsAsciiLetter(text[0]) && text.All(c => char.IsAsciiLetterOrDigit(c) || c is '_' or '.' or '/' or '-');
        return isPlain ? text : $"\"{text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace("\"", "\\\"", StringComparison.Ordinal)}\"";
    }
}
