using System.Text.Json;
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
