using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What a batch can vary, and how each value is read and applied.</summary>
internal static class VariedSettings
{
    private const string ParameterPrefix = "parameters.";

    // How the value of each key that names no file is read, and what it changes.
    private static readonly (string Key, Func<YamlNode, Func<BuildSettings, BuildSettings>> Read)[] Changes =
    [
        ("dose", node => WithProcess(node.AsPositive(Unit.CoulombPerSquareMetre), (process, dose) => process with { AreaDoseCoulombsPerSquareMetre = dose })),
        ("line_dose", node => WithProcess(node.AsPositive(Unit.CoulombPerMetre), (process, dose) => process with { LineDoseCoulombsPerMetre = dose })),
        ("dot_charge", node => WithProcess(node.AsPositive(Unit.Coulomb), (process, charge) => process with { DotChargeCoulombs = charge })),
        ("dose_factor", node => WithProcess(node.AsPositive(Unit.One), (process, factor) => process with
        {
            AreaDoseCoulombsPerSquareMetre = process.AreaDoseCoulombsPerSquareMetre * factor,
            LineDoseCoulombsPerMetre = process.LineDoseCoulombsPerMetre * factor,
            DotChargeCoulombs = process.DotChargeCoulombs * factor,
        })),
        ("current", node => WithMachine(node.AsPositive(Unit.Ampere), (machine, current) => machine with { Beam = machine.Beam with { CurrentAmperes = current } })),
        ("field", node => WithMachine(node.AsPositive(Unit.Nanometre), (machine, field) => machine with
        {
            Deflection = machine.Deflection with { FieldWidthNanometres = field, FieldHeightNanometres = field },
        })),
        ("line_pitch", node => WithFill(FillSection.ReadSpacing(node), (fill, pitch) => fill with { LinePitch = pitch })),
        ("point_step", node => WithFill(FillSection.ReadSpacing(node), (fill, step) => fill with { PointStep = step })),
        ("strategy", node => WithFill(node.AsChoice(Choices.Strategy), (fill, strategy) => fill with { Strategy = strategy })),
        ("placement", node => WithFill(node.AsChoice(Choices.Placement), (fill, placement) => fill with { Placement = placement })),
    ];

    /// <summary>Keys of single values; drawing parameters come in addition.</summary>
    public static string[] Keys { get; } = ["machine", "process", .. Changes.Select(change => change.Key)];

    /// <summary>Reads one value of a key.</summary>
    /// <param name="key">One of <see cref="Keys"/>.</param>
    /// <param name="node">The value.</param>
    /// <param name="paths">Resolves paths.</param>
    public static VariedValue Read(string key, YamlNode node, JobPaths paths)
    {
        if (key is "machine" or "process")
        {
            string path = paths.Read(node);
            return new VariedValue(key, path, LabelOf(Path.GetFileNameWithoutExtension(path)), settings => settings with
            {
                Job = key == "machine" ? settings.Job with { MachinePath = path } : settings.Job with { ProcessPath = path },
            });
        }

        return new VariedValue(key, node.AsText(), LabelOf(node.AsText()), Changes.First(change => change.Key == key).Read(node));
    }

    /// <summary>A value of a drawing parameter.</summary>
    public static VariedValue ReadParameter(string name, YamlNode node)
    {
        string text = node.AsText();
        return new VariedValue(ParameterPrefix + name, text, LabelOf(text), settings => settings with
        {
            Job = WithParameter(settings.Job, name, text),
        });
    }

    /// <summary>True for values that name a file, which is read after they are applied.</summary>
    public static bool IsFile(VariedValue value) => value.Key is "machine" or "process";

    private static Func<BuildSettings, BuildSettings> WithProcess<T>(T value, Func<Resist, T, Resist> change) =>
        settings => settings with { Process = change(settings.Process, value) };

    private static Func<BuildSettings, BuildSettings> WithMachine<T>(T value, Func<Machine, T, Machine> change) =>
        settings => settings with { Machine = change(settings.Machine, value) };

    /// <summary>A varied value replaces that of every layer, or it would not show where a layer has its own.</summary>
    private static Func<BuildSettings, BuildSettings> WithFill<T>(T value, Func<FillSettings, T, FillSettings> change) => settings => settings with
    {
        Job = settings.Job with
        {
            Fill = change(settings.Job.Fill, value),
            Layers = [.. settings.Job.Layers.Select(layer => layer with { Fill = change(layer.Fill, value) })],
        },
    };

    private static Job WithParameter(Job job, string name, string text)
    {
        bool isOnly = job.Sources.Length == 1;
        if (!isOnly && !job.Sources.Any(source => source.Reading.Parameters.ContainsKey(name)))
        {
            throw new CompileException(
                BatchCodes.CannotVary,
                $"the batch varies the parameter '{name}', but no source of the job '{job.Name}' names it",
                default,
                $"add 'parameters: {{{name}: …}}' to the source that has it");
        }

        return job with
        {
            Sources = [.. job.Sources.Select(source => isOnly || source.Reading.Parameters.ContainsKey(name)
                ? source with { Reading = source.Reading with { Parameters = source.Reading.Parameters.SetItem(name, text) } }
                : source)],
        };
    }

    /// <summary>Letters, digits and a few marks; everything else becomes a dash, blanks go.</summary>
    private static string LabelOf(string text)
    {
        var label = new StringBuilder(text.Length);
        foreach (char c in text)
        {
            if (!char.IsWhiteSpace(c))
            {
                label.Append(char.IsAsciiLetterOrDigit(c) || c is '.' or '+' or '-' or '_' ? c : c == '%' ? 'p' : '-');
            }
        }

        string result = label.ToString().Trim('.');
        return result.Length > 0 ? result : "-";
    }
}

/// <summary>One value that a batch gives to a job in place of the job's own.</summary>
/// <param name="Key">What is varied, e.g. "dose" or "parameters.pitch".</param>
/// <param name="Text">The value as the batch file writes it; a path is resolved.</param>
/// <param name="Label">A short form for file names.</param>
/// <param name="Change">The settings with the value.</param>
internal sealed record VariedValue(string Key, string Text, string Label, Func<BuildSettings, BuildSettings> Change);
