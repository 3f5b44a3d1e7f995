using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads a process file: the resist and its doses. The format is explained in the built-in process file.</summary>
public static class ProcessFile
{
    // Electrons of 100 keV come back within tens of micrometres (common practice, no source).
    private const double LongestRangeNanometres = 1e6;

    /// <summary>Reads a process file from disk.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong.</exception>
    public static Resist Read(string path) => Parse(SettingsText.Read(path, "process"), path);

    /// <summary>Reads the text of a process file.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The file is wrong; the error names line, key and remedy.</exception>
    public static Resist Parse(string yaml, string? file) => YamlText.Read(yaml, file, ReadResist);

    internal static Resist ReadResist(YamlMapping root)
    {
        YamlMapping dose = root.Required("dose").AsMapping();
        RefuseFormerKeys(root, dose);
        ResistResponse response = ReadResponse(root.Required("resist").AsMapping());
        SpreadFunction? spread = root.Optional("spread") is YamlNode node ? ReadSpread(node, response.ThicknessNanometres) : null;
        return new Resist(
            root.Required("process").AsText(),
            dose.Required("area").AsPositive(Unit.CoulombPerSquareMetre),
            dose.Required("line").AsPositive(Unit.CoulombPerMetre),
            dose.Required("dot").AsPositive(Unit.Coulomb),
            response,
            spread)
        {
            IsForwardDerived = spread?.Terms[0].RangeNanometres == 0,
            Substrate = root.Optional("substrate") is YamlNode substrate
                ? substrate.AsChoice(Choices.Substrate)
                : null,
        };
    }

    /// <summary>
    /// Files of earlier versions say 'tone', 'dose.onset' and 'contrast' apart, and need not say which dose clears: what they
    /// leave open cannot be guessed.
    /// </summary>
    private static void RefuseFormerKeys(YamlMapping root, YamlMapping dose)
    {
        YamlNode? former = dose.Optional("onset") ?? root.Optional("contrast") ?? root.Optional("tone");
        if (former is null)
        {
            return;
        }

        YamlMapping? curve = (root.Optional("contrast") as YamlMapping)?.AsMapping();
        string Text(string otherwise, params ReadOnlySpan<YamlNode?> nodes)
        {
            foreach (YamlNode? node in nodes)
            {
                if (node is YamlScalar scalar)
                {
                    return scalar.Text;
                }
            }

            return otherwise;
        }

        throw former.Error(
            JobCodes.FormerResistKeys,
            "'dose.onset', 'tone' and 'contrast' are one section 'resist' now, which always says which dose clears",
            $"take them out and write 'resist: {{tone: {Text("positive", root.Optional("tone"), curve?.Optional("tone"))}, onset: {Text("...", curve?.Optional("onset"), dose.Optional("onset"))}, "
            + $"clearing: {Text("...", curve?.Optional("clearing"))}}}', clearing being the dose that just clears a large area; 'dose.area' should be about twice that, because edges receive half of it");
    }

    private static ResistResponse ReadResponse(YamlMapping resist)
    {
        ResistTone tone = resist.Optional("tone") is YamlNode given
            ? given.AsChoice(Choices.Tone)
            : ResistTone.Positive;
        string first = DoseKey(resist, tone, words => words.First);
        string last = DoseKey(resist, tone, words => words.Last);
        resist.RefuseBoth(first, "contrast");
        double clearing = resist.Required(last).AsPositive(Unit.CoulombPerSquareMetre);
        double onset = resist.Optional("contrast") is YamlNode contrast
            ? clearing / Math.Pow(10, 1 / contrast.AsPositive(Unit.One))
            : resist.Required(first).AsPositive(Unit.CoulombPerSquareMetre);
        return onset < clearing && onset > 0
            ? new ResistResponse(tone, onset, clearing) { ThicknessNanometres = resist.Optional("thickness") is YamlNode thickness ? ReadRange(thickness) : null }
            : throw resist.Required(last).OutOfRange(
                $"'resist.{last}' must be above 'resist.{first}'", $"the thickness changes from the {first} to the {last} dose");
    }

    /// <summary>The key of a dose: that of a negative resist stands under its own word or under that of a positive one.</summary>
    private static string DoseKey(YamlMapping resist, ResistTone tone, Func<ToneWords, string> word)
    {
        (string common, string own) = (word(ToneWords.Of(ResistTone.Positive)), word(ToneWords.Of(ResistTone.Negative)));
        if (tone == ResistTone.Positive && resist.Optional(own) is YamlNode wrong)
        {
            throw wrong.OutOfRange($"'{own}' is a dose of a negative resist", $"write '{common}', or 'tone: negative' beside it");
        }

        resist.RefuseBoth(common, own);
        return tone == ResistTone.Positive || resist.Optional(common) is not null ? common : own;
    }

    // A forward range that is not stated is 0 until the beam energy is known.
    private static SpreadFunction ReadSpread(YamlNode node, double? thicknessNanometres)
    {
        YamlMapping spread = node.AsMapping();
        spread.RefuseBoth("forward", "alpha");
        YamlNode? forwardNode = spread.Optional("alpha") ?? spread.Optional("forward");
        if (forwardNode is null && thicknessNanometres is null)
        {
            throw node.Error(
                JobCodes.MissingKey,
                "'spread' has no 'forward', and 'resist' no 'thickness' from which it would follow",
                "write 'forward' as measured, or the thickness of the resist");
        }

        double forward = forwardNode is null ? 0 : ReadRange(forwardNode);
        List<SpreadTerm> terms =
        [
            new(SpreadShape.Gaussian, forward, 1),
            new(SpreadShape.Gaussian, ReadRange(Either(spread, "backscatter", "beta")), Either(spread, "ratio", "eta").AsPositive(Unit.One)),
        ];
        AddPair(spread, "middle", SpreadShape.Gaussian, terms);
        AddPair(spread, "tail", SpreadShape.Exponential, terms);
        return terms.Skip(1).All(term => term.RangeNanometres > forward)
            ? new SpreadFunction([.. terms])
            : throw forwardNode!.OutOfRange(
                $"{forwardNode.Name} must be the smallest range", "forward scattering is narrower than backscattering");
    }

    private static double ReadRange(YamlNode node)
    {
        double range = node.AsPositive(Unit.Nanometre);
        return range <= LongestRangeNanometres ? range : throw node.OutOfRange($"{node.Name} must be at most 1 mm, but it is {node.AsText()}", "look for a wrong unit");
    }

    /// <summary>A value under its plain word or the letter of the literature.</summary>
    private static YamlNode Either(YamlMapping spread, string word, string letter)
    {
        spread.RefuseBoth(word, letter);
        return spread.Optional(letter) ?? spread.Required(word);
    }

    private static void AddPair(YamlMapping spread, string key, SpreadShape shape, List<SpreadTerm> terms)
    {
        YamlNode? range = spread.Optional(key);
        YamlNode? ratio = spread.Optional(key + "_ratio");
        if (range is not null || ratio is not null)
        {
            terms.Add(new SpreadTerm(
                shape, ReadRange(spread.Required(key)), spread.Required(key + "_ratio").AsPositive(Unit.One)));
        }
    }
}
