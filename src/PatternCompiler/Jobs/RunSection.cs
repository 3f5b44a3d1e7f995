using System.Collections.Immutable;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file about what a run asks and where it holds.</summary>
internal static class RunSection
{
    private const int MostCopies = 1000;
    private const double LargestDoseFactor = 1000;

    private static readonly Choice<RunHold> Holds = new(("fields", RunHold.Fields), ("layers", RunHold.Layers), ("none", RunHold.None));
    private static readonly Choice<RunReading> Readings = new(("current", RunReading.Current), ("focus", RunReading.Focus), ("stage", RunReading.Stage));

    private enum RunHold
    {
        Fields,
        Layers,
        None,
    }

    /// <summary>Reads it.</summary>
    /// <param name="node">The section.</param>
    /// <param name="hasFields">The job has write fields.</param>
    public static RunSettings Read(YamlNode node, bool hasFields)
    {
        YamlMapping run = node.AsMapping();
        RunHold[] holds = run.Optional("hold") is YamlNode hold ? [.. hold.AsOneOrMore().Select(one => one.AsChoice(Holds))] : [RunHold.Fields];
        run.RefuseBoth("groups", "copies");
        run.RefuseBoth("groups", "hold");
        ImmutableArray<RunGroup> groups = run.Optional("groups") is YamlNode list
            ? [.. list.AsMapping().Any().Select(entry => new RunGroup(Free(entry.Key, entry.Value), [.. entry.Value.AsOneOrMore().Select(layer => layer.AsText())]))]
            : [];
        if (groups.SelectMany(group => group.Layers).GroupBy(layer => layer).FirstOrDefault(layer => layer.Count() > 1) is { } twice)
        {
            throw run.Required("groups").OutOfRange($"layer '{twice.Key}' stands in two groups, and would be written twice", "name each layer once");
        }

        ImmutableArray<RunCopy> copies = run.Optional("copies") is YamlNode many ? ReadCopies(many) : [];
        if (hasFields && !copies.IsEmpty)
        {
            throw run.Required("copies").OutOfRange("the stage goes from field to field already, and copies of that have no place", "leave out 'fields' or 'copies'");
        }

        if (hasFields && !holds.Contains(RunHold.Fields))
        {
            throw run.Required("hold").OutOfRange("between write fields somebody moves the stage, and the beam must be off until then", "add 'fields' to 'run.hold'");
        }

        double within = run.Optional("current_within") is YamlNode part ? part.AsQuantity(Dimension.Fraction).In(Unit.One) : RunSettings.UsualCurrentWithin;
        return within is > 0 and < 1
            ? new RunSettings(
                run.Optional("checks") is YamlNode checks ? [.. checks.AsOneOrMore().Select(check => check.AsText())] : [],
                groups,
                holds.Contains(RunHold.Layers),
                run.Optional("readings") is YamlNode readings ? [.. readings.AsOneOrMore().Select(reading => reading.AsChoice(Readings)).Distinct().Order()] : [],
                within,
                copies)
            : throw run.Required("current_within").OutOfRange($"'run.current_within' is a part of the current above 0 and below 100 %, but it is {run.Required("current_within").AsText()}");
    }

    private static ImmutableArray<RunCopy> ReadCopies(YamlNode node)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        if (items.Count > MostCopies)
        {
            throw node.OutOfRange($"{node.Name} has {items.Count} copies; at most {MostCopies} are taken", "place copies in a drawing instead");
        }

        var names = new HashSet<string>(StringComparer.Ordinal);
        return [.. items.Select((item, i) =>
        {
            YamlMapping copy = item.AsMapping();
            (double x, double y) = copy.Optional("at") is YamlNode at ? LengthPair.Read(at) : (0, 0);
            double dose = copy.Optional("dose")?.AsReal(0, LargestDoseFactor) ?? 1;
            string name = copy.Optional("name") is YamlNode called ? Free(called.AsText(), called) : FormattableString.Invariant($"copy {i + 1}");
            return dose <= 0 ? throw copy.Required("dose").OutOfRange($"{copy.Required("dose").Name} must be above zero")
                : !names.Add(name) ? throw item.OutOfRange($"two copies are called '{name}'", "give each a 'name' of its own")
                : new RunCopy(name, x, y, dose, copy.Optional("focus")?.AsText());
        })];
    }

    private static string Free(string name, YamlNode node) => RunSettings.Reserved.Contains(name)
        ? throw node.OutOfRange($"'{name}' is a word of the questions of a run", "choose another name")
        : name;
}
