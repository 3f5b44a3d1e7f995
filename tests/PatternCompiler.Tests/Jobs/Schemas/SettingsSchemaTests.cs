using System.Text.Json;
using System.Text.RegularExpressions;
using PatternCompiler.Jobs.Schemas;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Tests.Jobs.Schemas;

/// <summary>Schemas are what the readers took from the samples: so these have to hold every key, and say what it means.</summary>
public sealed class SettingsSchemaTests
{
    // Keys of earlier versions and of other places, which readers know only to say what to write instead.
    private static readonly string[] Refused =
        ["machine: words.blank", "process: contrast", "process: tone", "process: dose.onset"];

    // Values for people, which the program passes over.
    private static readonly string[] PassedOver = ["manifest: fields", "manifest: move_s", "manifest: write_s", "manifest: total_s", "manifest: visits[].visit"];

    [Theory]
    [InlineData("- file: a  # what is sent\n  layer: b  # and where\n", "file|what is sent;layer|and where")]
    [InlineData("a:  # b\nc:  # d e\n", "a|b;c|d e")]
    [InlineData("a:  # b\n                      # c\n\n                      # d\n", "a|b c")]
    [InlineData("a:\n  - file: b  # one\n    size: 3  # two\n  - file: c\nd: 4  # three\n", "a[].file|one;a[].size|two;d|three")]
    [InlineData("a:  # its own\n  # of the key below\n  b: 1\n  c: 2            # and\n                      # more\n", "a|its own;a.b|of the key below;a.c|and more")]
    public void Comments_belong_to_the_keys_that_they_stand_beside(string text, string expected)
    {
        var comments = new Dictionary<string, string>(StringComparer.Ordinal);
        KeyComments.AddTo(comments, text);
        Assert.Equal(expected, string.Join(';', comments.Select(pair => $"{pair.Key}|{pair.Value}")));
    }

    /// <summary>A flag is a word or a boolean of JSON, and both ways of quoting it.</summary>
    [Fact]
    public void Flags_may_be_words_and_booleans()
    {
        int flags = 0;
        foreach (SettingsSchema kind in SettingsSchema.All)
        {
            using var stream = new MemoryStream();
            kind.Write(stream);
            using JsonDocument schema = JsonDocument.Parse(stream.ToArray());
            foreach (string[] words in Enums(schema.RootElement).Where(words => words.Contains("True") || words.Contains("False")))
            {
                flags++;
                Assert.Subset(words.ToHashSet(), new HashSet<string> { "String yes", "String no", "True", "False", "String true", "String false" });
            }
        }

        Assert.True(flags > 3);

        static IEnumerable<string[]> Enums(JsonElement at) => at.ValueKind switch
        {
            JsonValueKind.Object => at.EnumerateObject().SelectMany(p => p.Name == "enum" && p.Value.ValueKind == JsonValueKind.Array
                ? [[.. p.Value.EnumerateArray().Select(word => word.ValueKind == JsonValueKind.String ? $"String {word.GetString()}" : $"{word.ValueKind}")]]
                : Enums(p.Value)),
            JsonValueKind.Array => at.EnumerateArray().SelectMany(Enums),
            _ => [],
        };
    }

    [Fact]
    public void Samples_hold_every_key_that_a_reader_asks_for()
    {
        string[] missing = [.. SettingsSchema.All.SelectMany(kind => Walk(kind.Observe(), "").SelectMany(at => at.Value.NeverSeen.Select(key => $"{kind.Word}: {Join(at.Path, key)}")))];
        Assert.Equal(Refused.Order(), missing.Order());
    }

    [Fact]
    public void Every_key_says_what_it_means()
    {
        string[] silent =
        [
            .. SettingsSchema.All.SelectMany(kind =>
            {
                Dictionary<string, string> comments = kind.Comments();
                return Walk(kind.Observe(), "").SelectMany(at => at.Value.Keys.Keys.Select(key => Join(at.Path, key)))
                    .Where(path => KeyComments.Find(comments, path) is null).Select(path => $"{kind.Word}: {path}");
            }),
        ];
        Assert.Empty(silent);
    }

    [Fact]
    public void Every_value_has_been_read_in_some_way()
    {
        string[] unread =
        [
            .. SettingsSchema.All.SelectMany(kind => Walk(kind.Observe(), "")
                .Where(at => at.Value is { IsMapping: false, Items: null, Readings.Count: 0 }).Select(at => $"{kind.Word}: {at.Path}")),
        ];
        Assert.Equal(PassedOver.Order(), unread.Order());
    }

    [Fact]
    public void Comments_belong_to_their_keys()
    {
        Dictionary<string, string> comments = new(StringComparer.Ordinal);
        KeyComments.AddTo(
            comments,
            """
            # About the file: not about a key.

            # The two outputs.
            dac:
              bits: 16                            # how fine
                                                  # they are
              coding: straight
            # later: {after: 2 h}                 # a second reading
            # sources:                            # drawings
            #   - file: a.dxf                     # its name
            #     unit: um                        # of one
            #                                     # drawing unit
            plain: 1
            # A sentence that ends in a colon:
            #   20 kV: not a key
            """);
        Assert.Equal(
            ["dac = The two outputs.", "dac.bits = how fine they are", "later = a second reading", "sources = drawings", "sources[].file = its name", "sources[].unit = of one drawing unit"],
            comments.Select(entry => $"{entry.Key} = {entry.Value}"));
    }

    [Fact]
    public void A_key_is_needed_if_no_file_is_read_without_it()
    {
        var observed = new ObservedValue();
        foreach (string text in (string[])["{a: 1, b: yes}", "{a: 2 nm, c: x}"])
        {
            observed.Add(YamlText.Read(text, null, root =>
            {
                root.Required("a").AsText();
                bool plain = root.Optional("c") is null;
                _ = plain ? root.Required("b").AsFlag() : root.Required("c").IsWord("x");
                return root;
            }));
        }

        Assert.Equal(("a", "a b c"), (string.Join(' ', observed.Keys.Keys.Where(observed.Needs)), string.Join(' ', observed.Keys.Keys)));
    }

    /// <summary>Mappings, lists and values of every schema beside what the readers took: their keys, which of them are needed, and the comment of each.</summary>
    [Fact]
    public void A_schema_has_the_keys_and_comments_of_its_files()
    {
        foreach (SettingsSchema kind in SettingsSchema.All)
        {
            Dictionary<string, string> comments = kind.Comments();
            JsonElement schema = Written(kind);
            Assert.Equal((kind.Title, "http://json-schema.org/draft-07/schema#"), (schema.GetProperty("description").GetString(), schema.GetProperty("$schema").GetString()));
            Compare(schema, kind.Observe(), "");

            void Compare(JsonElement at, ObservedValue value, string path)
            {
                JsonElement[] forms = Forms(at);
                if (path.Length > 0)
                {
                    Assert.Equal(KeyComments.Find(comments, path), at.TryGetProperty("description", out JsonElement told) ? told.GetString() : null);
                }

                if (value.IsMapping)
                {
                    JsonElement mapping = forms.Single(form => form.TryGetProperty("type", out JsonElement type) && type.ValueKind == JsonValueKind.String && type.GetString() == "object");
                    string[] keys = mapping.TryGetProperty("properties", out JsonElement properties) ? [.. properties.EnumerateObject().Select(p => p.Name)] : [];
                    string[] required = mapping.TryGetProperty("required", out JsonElement needed) ? [.. needed.EnumerateArray().Select(key => key.GetString()!)] : [];
                    Assert.Equal(value.Keys.Keys.Order(StringComparer.Ordinal), keys);
                    Assert.Equal(value.Keys.Keys.Where(value.Needs).Order(StringComparer.Ordinal), required);
                    foreach ((string key, ObservedValue inner) in value.Keys)
                    {
                        Compare(properties.GetProperty(key), inner, Join(path, key));
                    }

                    JsonElement others = mapping.GetProperty("additionalProperties");
                    Assert.Equal(value.Any is null, others.ValueKind == JsonValueKind.False);
                    if (value.Any is not null)
                    {
                        Compare(others, value.Any, path + ".*");
                    }
                }

                JsonElement[] lists = [.. forms.Where(form => form.TryGetProperty("items", out _))];
                Assert.Equal(value.Items is null ? 0 : 1, lists.Length);
                if (value.Items is not null)
                {
                    Assert.Equal(1, lists[0].GetProperty("minItems").GetInt32());
                    Compare(lists[0].GetProperty("items"), value.Items, path + "[]");
                }
            }
        }
    }

    /// <summary>What an editor would take for a value and what it would mark; right are texts and numbers as they stand in a file.</summary>
    [Theory]
    [InlineData("machine", "machine", "'x' 7", "' '")]
    [InlineData("machine", "dac.bits", "8 16 24 '16' ' +16'", "7 25 16.5 '16.5' 'x' '1x'")]
    [InlineData("machine", "dac.lowest", "'-10 V' '+10V' '10.5 mV' '1e1 V' '.5 V'", "'10' -10 '10 um' 'V' '1 V V' 'a 1 V'")]
    [InlineData("machine", "dac.coding", "'straight' 'offset binary'", "'binary'")]
    [InlineData("machine", "deflection.invert_x", "'yes' 'no' true false 'true'", "'maybe'")]
    [InlineData("machine", "deflection.calibration.affine.xx", "1.5 -1 '-1e-3' '2' '.5'", "'x' '1 nm'")]
    [InlineData("machine", "deflection.calibration.affine.offset_x", "'-5 nm' '5 µm' '5 μm' '5um'", "'5' '5 V'")]
    [InlineData("machine", "beam.current", "'100 pA' '+1e2 pA' '0.1 nA'", "'-100 pA' 100 '100'")]
    [InlineData("machine", "blanker.leak", "'2 %' '0.02' 0.02 0", "'-2 %' -0.02 '2 nm'")]
    [InlineData("machine", "stage.height.scale_per_mm", "'-2 %' '0.02' '-0.02' -0.02 0.5", "'2 nm'")]
    [InlineData("machine", "stage.rotation", "'-3 deg' '3 °'", "'3 nm'")]
    [InlineData("process", "dose.area", "'300 uC/cm2' '300 µC/cm²' '300 uC/cm^2'", "'-300 uC/cm2' '300' '300 uC/cm3'")]
    [InlineData("job", "fill.line_pitch", "'20 nm' '3 codes' 'automatic'", "'20' 20")]
    public void Values_are_judged_as_the_reader_judges_them(string word, string path, string taken, string marked)
    {
        SettingsSchema kind = SettingsSchema.All.Single(k => k.Word == word);
        JsonElement schema = Written(kind), at = schema;
        foreach (string key in path.Split('.'))
        {
            at = Forms(at).Single(form => form.TryGetProperty("properties", out _)).GetProperty("properties").GetProperty(key);
        }

        Assert.All(Values(taken), value => Assert.True(Takes(value), $"{value} is marked"));
        Assert.All(Values(marked), value => Assert.False(Takes(value), $"{value} is taken"));

        bool Takes(JsonElement value) => Forms(at).Select(form => form.TryGetProperty("$ref", out JsonElement name)
            ? schema.GetProperty("definitions").GetProperty(Uri.UnescapeDataString(name.GetString()!["#/definitions/".Length..])) : form).Any(form => IsOf(form, value));

        static JsonElement[] Values(string list)
        {
            using JsonDocument values = JsonDocument.Parse($"[{string.Join(',', Regex.Matches(list, "'[^']*'|[^ ]+").Select(value => value.Value.Replace('\'', '"')))}]");
            return [.. values.RootElement.Clone().EnumerateArray()];
        }

        static bool IsOf(JsonElement form, JsonElement value)
        {
            if (form.TryGetProperty("enum", out JsonElement words))
            {
                return words.EnumerateArray().Any(one => JsonElement.DeepEquals(one, value));
            }

            string type = value.ValueKind switch { JsonValueKind.String => "string", JsonValueKind.Number => "number", _ => "boolean" };
            string[] types = form.GetProperty("type") is { ValueKind: JsonValueKind.Array } many ? [.. many.EnumerateArray().Select(one => one.GetString()!)] : [form.GetProperty("type").GetString()!];
            return (types.Contains(type) || (types.Contains("integer") && type == "number" && value.GetDouble() == Math.Floor(value.GetDouble())))
                && (type != "string" || !form.TryGetProperty("pattern", out JsonElement pattern) || Regex.IsMatch(value.GetString()!, pattern.GetString()!))
                && (type != "number" || !form.TryGetProperty("minimum", out JsonElement least) || value.GetDouble() >= least.GetDouble())
                && (type != "number" || !form.TryGetProperty("maximum", out JsonElement most) || value.GetDouble() <= most.GetDouble());
        }
    }

    /// <summary>What is said of an amount beside its pattern: whether it may be negative, and how it is written.</summary>
    [Fact]
    public void Amounts_say_what_they_are()
    {
        foreach (SettingsSchema kind in SettingsSchema.All)
        {
            if (!Written(kind).TryGetProperty("definitions", out JsonElement definitions))
            {
                continue;
            }

            foreach (JsonProperty amount in definitions.EnumerateObject().Where(one => one.Value.TryGetProperty("examples", out _)))
            {
                string told = amount.Value.GetProperty("description").GetString()!, pattern = amount.Value.GetProperty("pattern").GetString()!;
                bool isBounded = amount.Name.EndsWith(", not negative", StringComparison.Ordinal);
                Assert.Equal(isBounded, told.StartsWith("Not negative: ", StringComparison.Ordinal));
                Assert.All(amount.Value.GetProperty("examples").EnumerateArray(), example =>
                {
                    Assert.Matches(pattern, example.GetString()!);
                    Assert.Contains(example.GetString()!, told, StringComparison.Ordinal);
                    Assert.Equal(!isBounded, Regex.IsMatch("-" + example.GetString(), pattern));
                });
            }
        }
    }

    private static JsonElement Written(SettingsSchema kind)
    {
        using var stream = new MemoryStream();
        kind.Write(stream);
        using JsonDocument schema = JsonDocument.Parse(stream.ToArray());
        return schema.RootElement.Clone();
    }

    private static JsonElement[] Forms(JsonElement at) =>
        at.TryGetProperty("anyOf", out JsonElement any) ? [.. any.EnumerateArray()] : at.TryGetProperty("allOf", out JsonElement all) ? [.. all.EnumerateArray()] : [at];

    private static IEnumerable<(string Path, ObservedValue Value)> Walk(ObservedValue value, string path)
    {
        IEnumerable<(string, ObservedValue)> inner = value.Keys.SelectMany(entry => Walk(entry.Value, Join(path, entry.Key)));
        if (value.Items is not null)
        {
            inner = inner.Concat(Walk(value.Items, path + "[]"));
        }

        if (value.Any is not null)
        {
            inner = inner.Concat(Walk(value.Any, path + ".*"));
        }

        return inner.Prepend((path, value));
    }

    private static string Join(string path, string key) => path.Length == 0 ? key : $"{path}.{key}";
}
