using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads a process file: the resist and its doses. The format is explained in the built-in process file.</summary>
public static class ProcessFile
{
    /// <summary>Reads a process file from disk.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong.</exception>
    public static Resist Read(string path) => Parse(SettingsText.Read(path, "process"), path);

    /// <summary>Reads the text of a process file.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The file is wrong; the error names line, key and remedy.</exception>
    public static Resist Parse(string yaml, string? file)
    {
        YamlMapping root = YamlText.Parse(yaml, file).AsMapping("process", "dose", "tone", "substrate", "spread", "contrast");
        YamlMapping dose = root.Required("dose").AsMapping("area", "line", "dot", "onset");
        double area = dose.Required("area").AsPositive(Unit.CoulombPerSquareMetre);
        double onset = dose.Required("onset").AsPositive(Unit.CoulombPerSquareMetre);
        if (onset > area)
        {
            throw dose.Required("onset").OutOfRange(
                $"'dose.onset' is {dose.Required("onset").AsText()}, above the area dose of {dose.Required("area").AsText()}",
                "the onset is the dose at which the resist starts to react, below the dose that clears it");
        }

        YamlNode? toneNode = root.Optional("tone");
        ResistTone? tone = toneNode is null ? null : ReadTone(toneNode);
        ResistContrast? curve = root.Optional("contrast") is YamlNode contrast ? ReadContrast(contrast, tone) : null;
        return new Resist(
            root.Required("process").AsText(),
            area,
            dose.Required("line").AsPositive(Unit.CoulombPerMetre),
            dose.Required("dot").AsPositive(Unit.Coulomb),
            onset,
            root.Optional("spread") is YamlNode spread ? ReadSpread(spread) : null,
            curve)
        {
            Tone = tone ?? curve?.Tone ?? ResistTone.Positive,
            Substrate = root.Optional("substrate") is YamlNode substrate
                ? substrate.AsChoice<Substrate>([.. Substrate.Known.Select(known => (known.Name, known))])
                : null,
        };
    }

    private static ResistTone ReadTone(YamlNode node) => node.AsChoice(("positive", ResistTone.Positive), ("negative", ResistTone.Negative));

    private static SpreadFunction ReadSpread(YamlNode node)
    {
        YamlMapping spread = node.AsMapping("forward", "backscatter", "ratio", "middle", "middle_ratio", "tail", "tail_ratio");
        double forward = spread.Required("forward").AsPositive(Unit.Nanometre);
        List<SpreadTerm> terms =
        [
            new(SpreadShape.Gaussian, forward, 1),
            new(SpreadShape.Gaussian, spread.Required("backscatter").AsPositive(Unit.Nanometre), spread.Required("ratio").AsPositive(Unit.One)),
        ];
        AddPair(spread, "middle", SpreadShape.Gaussian, terms);
        AddPair(spread, "tail", SpreadShape.Exponential, terms);
        return terms.Skip(1).All(term => term.RangeNanometres > forward)
            ? new SpreadFunction([.. terms])
            : throw spread.Required("forward").OutOfRange(
                "'spread.forward' must be the smallest range", "forward scattering is narrower than backscattering");
    }

    private static void AddPair(YamlMapping spread, string key, SpreadShape shape, List<SpreadTerm> terms)
    {
        YamlNode? range = spread.Optional(key);
        YamlNode? ratio = spread.Optional(key + "_ratio");
        if (range is not null || ratio is not null)
        {
            terms.Add(new SpreadTerm(
                shape, spread.Required(key).AsPositive(Unit.Nanometre), spread.Required(key + "_ratio").AsPositive(Unit.One)));
        }
    }

    private static ResistContrast ReadContrast(YamlNode node, ResistTone? resistTone)
    {
        YamlMapping contrast = node.AsMapping("tone", "onset", "clearing");
        double onset = contrast.Required("onset").AsPositive(Unit.CoulombPerSquareMetre);
        double clearing = contrast.Required("clearing").AsPositive(Unit.CoulombPerSquareMetre);
        ResistTone tone = contrast.Optional("tone") is YamlNode own ? ReadTone(own) : resistTone ?? ResistTone.Positive;
        if (resistTone is not null && resistTone != tone)
        {
            throw contrast.Required("tone").OutOfRange("'contrast.tone' differs from 'tone'", "a resist has one tone");
        }

        return clearing > onset
            ? new ResistContrast(
                tone,
                onset,
                clearing)
            : throw contrast.Required("clearing").OutOfRange(
                "'contrast.clearing' must be above 'contrast.onset'", "the thickness changes from the onset to the clearing dose");
    }
}
