using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Batch;

/// <summary>What a batch can vary, and how each value is read and applied.</summary>
internal static class VariedSettings
{
    private const string ParameterPrefix = "parameters.";

    /// <summary>Keys of single values; drawing parameters come in addition.</summary>
    public static string[] Keys { get; } =
    [
        "machine", "process", "dose", "line_dose", "dot_charge", "dose_factor", "current", "field", "line_pitch", "point_step",
        "strategy", "placement",
    ];

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

        return new VariedValue(key, node.AsText(), LabelOf(node.AsText()), ChangeOf(key, node));
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

    private static Func<BuildSettings, BuildSettings> ChangeOf(string key, YamlNode node)
    {
        switch (key)
        {
            case "dose":
                double area = node.AsPositive(Unit.CoulombPerSquareMetre);
                return s => s with { Process = s.Process with { AreaDoseCoulombsPerSquareMetre = area } };
            case "line_dose":
                double line = node.AsPositive(Unit.CoulombPerMetre);
                return s => s with { Process = s.Process with { LineDoseCoulombsPerMetre = line } };
            case "dot_charge":
                double dot = node.AsPositive(Unit.Coulomb);
                return s => s with { Process = s.Process with { DotChargeCoulombs = dot } };
            case "dose_factor":
                double factor = node.AsPositive(Unit.One);
                return s => s with
                {
                    Process = s.Process with
                    {
                        AreaDoseCoulombsPerSquareMetre = s.Process.AreaDoseCoulombsPerSquareMetre * factor,
                        LineDoseCoulombsPerMetre = s.Process.LineDoseCoulombsPerMetre * factor,
                        DotChargeCoulombs = s.Process.DotChargeCoulombs * factor,
                    },
                };
            case "current":
                double current = node.AsPositive(Unit.Ampere);
                return s => s with { Machine = s.Machine with { Beam = s.Machine.Beam with { CurrentAmperes = current } } };
            case "field":
                double field = node.AsPositive(Unit.Nanometre);
                return s => s with
                {
                    Machine = s.Machine with
                    {
                        Deflection = s.Machine.Deflection with { FieldWidthNanometres = field, FieldHeightNanometres = field },
                    },
                };
            case "line_pitch":
                Spacing pitch = FillSection.ReadSpacing(node);
                return s => WithFill(s, fill => fill with { LinePitch = pitch });
            case "point_step":
                Spacing step = FillSection.ReadSpacing(node);
                return s => WithFill(s, fill => fill with { PointStep = step });
            case "strategy":
                FillStrategy strategy = FillSection.ReadStrategy(node);
                return s => WithFill(s, fill => fill with { Strategy = strategy });
            case "placement":
                CodePlacement placement = FillSection.ReadPlacement(node);
                return s => WithFill(s, fill => fill with { Placement = placement });
            default:
                throw new InvalidOperationException($"'{key}' cannot be varied.");
        }
    }

    /// <summary>A varied value replaces that of every layer, or it would not show where a layer has its own.</summary>
    private static BuildSettings WithFill(BuildSettings settings, Func<FillSettings, FillSettings> change) => settings with
    {
        Job = settings.Job with
        {
            Fill = change(settings.Job.Fill),
            Layers = [.. settings.Job.Layers.Select(layer => layer with { Fill = change(layer.Fill) })],
        },
    };

    private static Job WithParameter(Job job, string name, string text)
    {
        bool isOnly = job.Sources.Length == 1;
        if (!isOnly && !job.Sources.Any(source => source.Parameters.ContainsKey(name)))
        {
            throw new CompileException(
                BatchCodes.CannotVary,
                $"the batch varies the parameter '{name}', but no source of the job '{job.Name}' names it",
                default,
                $"add 'parameters: {{{name}: …}}' to the source that has it");
        }

        return job with
        {
            Sources = [.. job.Sources.Select(source => isOnly || source.Parameters.ContainsKey(name)
                ? source with { Parameters = source.Parameters.SetItem(name, text) }
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
