using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Schemas;

/// <summary>Makes a schema of what a reader took. Texts, whole numbers and quantities are defined once, with the units that a user may write.</summary>
internal sealed class SchemaMaker
{
    private const string Number = @"(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?";
    private const string TextName = "a text";
    private static readonly string[] ScalarTypes = ["string", "number", "boolean"];

    private readonly Dictionary<string, string> comments;
    private readonly SortedDictionary<string, SchemaObject> definitions = new(StringComparer.Ordinal);

    private SchemaMaker(Dictionary<string, string> comments) => this.comments = comments;

    /// <summary>The schema of a kind of settings file.</summary>
    public static SchemaObject Make(SettingsSchema kind)
    {
        var maker = new SchemaMaker(kind.Comments());
        (ImmutableSortedDictionary<string, SchemaObject> properties, string[] required) = maker.KeysOf(kind.Observe(), "");
        return new SchemaObject
        {
            Dialect = "http://json-schema.org/draft-07/schema#",
            Title = $"{char.ToUpperInvariant(kind.Word[0])}{kind.Word[1..]} file",
            Description = kind.Title,
            Type = "object",
            Required = required,
            Properties = properties,
            AdditionalProperties = false,
            Definitions = maker.definitions,
        };
    }

    private (ImmutableSortedDictionary<string, SchemaObject> Properties, string[] Required) KeysOf(ObservedValue value, string path) =>
        (value.Keys.ToImmutableSortedDictionary(entry => entry.Key, entry => Of(entry.Value, path.Length == 0 ? entry.Key : $"{path}.{entry.Key}"), StringComparer.Ordinal),
            [.. value.Keys.Keys.Where(value.Needs).Order(StringComparer.Ordinal)]);

    private SchemaObject Of(ObservedValue value, string path)
    {
        List<SchemaObject> forms = [.. value.Readings.SelectMany(Of).DistinctBy(form => (form.Reference, string.Join('\n', form.Enum ?? []), form.Minimum, form.Maximum))];
        if (value.IsMapping)
        {
            (ImmutableSortedDictionary<string, SchemaObject> properties, string[] required) = KeysOf(value, path);
            forms.Add(new SchemaObject
            {
                Type = "object",
                Required = required.Length > 0 ? required : null,
                Properties = properties.Count > 0 ? properties : null,
                AdditionalProperties = value.Any is null ? false : Of(value.Any, path + ".*"),
            });
        }

        if (value.Items is not null)
        {
            forms.Add(new SchemaObject { Type = "array", MinItems = 1, Items = Of(value.Items, path + "[]") });
        }

        // What stands beside a reference is ignored in draft 7.
        string? description = KeyComments.Find(comments, path);
        return forms switch
        {
            [] => new SchemaObject { Description = description },
            [{ Reference: null }] => forms[0] with { Description = description },
            [_] => new SchemaObject { Description = description, AllOf = forms },
            _ => new SchemaObject { Description = description, AnyOf = forms },
        };
    }

    private IEnumerable<SchemaObject> Of(YamlReading reading)
    {
        switch (reading)
        {
            case YamlReading.Word { Words: var words }:
                yield return new SchemaObject { Enum = [.. words.Select(word => word is "true" or "false" ? (object)(word == "true") : word), .. words.Where(word => word is "true" or "false")] };
                break;
            case YamlReading.WholeNumber { Minimum: var minimum, Maximum: var maximum }:
                yield return new SchemaObject { Type = "integer", Minimum = minimum, Maximum = maximum };
                yield return Defined("a quoted whole number", () => new SchemaObject { Type = "string", Pattern = @"^\s*[+-]?\d+\s*$" });
                break;
            case YamlReading.Number { Minimum: var minimum, Maximum: var maximum }:
                yield return new SchemaObject { Type = "number", Minimum = double.IsFinite(minimum) ? minimum : null, Maximum = double.IsFinite(maximum) ? maximum : null };
                yield return Defined("a quoted number", () => new SchemaObject { Type = "string", Pattern = $@"^\s*[+-]?{Number}\s*$" });
                break;
            case YamlReading.Amount { Dimensions: var dimensions, CanBeNegative: var canBeNegative }:
                if (dimensions.Contains(Dimension.Fraction))
                {
                    yield return new SchemaObject { Type = "number", Minimum = canBeNegative ? null : 0 };
                }

                yield return Defined($"{DimensionText.NameOf(dimensions.AsSpan())}{(canBeNegative ? "" : ", not negative")}", () => Amount(dimensions, canBeNegative));
                break;
            default:
                yield return Defined(TextName, () => new SchemaObject { Type = ScalarTypes, Pattern = @"\S" });
                break;
        }
    }

    private SchemaObject Defined(string name, Func<SchemaObject> make)
    {
        if (!definitions.ContainsKey(name))
        {
            definitions.Add(name, make());
        }

        return new SchemaObject { Reference = $"#/definitions/{Uri.EscapeDataString(name)}" };
    }

    private static SchemaObject Amount(ImmutableArray<Dimension> dimensions, bool canBeNegative)
    {
        IEnumerable<string> symbols = UnitTable.SymbolsOf([.. dimensions]).Distinct().Select(symbol => Regex.Escape(symbol)
            .Replace("u", "[uµμ]", StringComparison.Ordinal).Replace("2", @"(2|²|\^2)", StringComparison.Ordinal).Replace("deg", "(deg|°)", StringComparison.Ordinal));
        string none = dimensions.Contains(Dimension.Fraction) ? "?" : "";
        return new SchemaObject
        {
            Type = "string",
            Description = $"{(canBeNegative ? "" : "Not negative: ")}{DimensionText.NameOf(dimensions.AsSpan())}, for example {DimensionText.ExampleOf(dimensions.AsSpan())}.",
            Pattern = $@"^\s*{(canBeNegative ? "[+-]?" : @"\+?")}{Number}\s*({string.Join('|', symbols)}){none}\s*$",
            Examples = [.. dimensions.SelectMany(dimension => DimensionText.ExampleOf(dimension).Split(" or "))],
        };
    }
}
