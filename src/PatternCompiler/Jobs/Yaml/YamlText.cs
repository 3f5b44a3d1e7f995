using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Carriers;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// Reads the subset of YAML that settings need into nodes with their places. Anchors and aliases work, as a way to write
/// shared settings once, but their expansion is bounded; tags, merge keys and further documents are refused.
/// </summary>
internal sealed class YamlText
{
    /// <summary>Longest text accepted, in bytes or characters; settings files are a few kilobytes.</summary>
    internal const int LongestText = 4 << 20;

    private const int DeepestNesting = 32;
    private const int MostNodes = 200_000;

    private readonly YamlSource source;
    private readonly YamlEvents events;
    private readonly Dictionary<string, (YamlNode Node, int Nodes)> anchors = new(StringComparer.Ordinal);
    private int nodes;

    private YamlText(YamlSource source)
    {
        this.source = source;
        events = new YamlEvents(source);
    }

    /// <summary>Text of a YAML file, from a stream that may be a device or too long to be one.</summary>
    /// <param name="stream">Where it comes from; stays open.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The file is too long or no UTF-8.</exception>
    public static string Load(Stream stream, string? file) => Utf8Text.Read(stream, file, LongestText)
        ?? throw TooLong(file, $"more than {LongestText} bytes");

    /// <summary>Reads a document whose top is a mapping, and refuses keys in it that <paramref name="read"/> did not ask for.</summary>
    /// <param name="text">The YAML.</param>
    /// <param name="file">File name for messages.</param>
    /// <param name="read">Makes of the mapping what it stands for.</param>
    /// <exception cref="CompileException">The text is no YAML of this kind, or <paramref name="read"/> finds a fault.</exception>
    public static T Read<T>(string text, string? file, Func<YamlMapping, T> read)
    {
        YamlMapping root = Parse(text, file).AsMapping();
        T result = read(root);
        root.RefuseUnread();
        return result;
    }

    /// <summary>Reads one document.</summary>
    /// <param name="text">The YAML.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The text is no YAML of this kind.</exception>
    public static YamlNode Parse(string text, string? file) => text.Length > LongestText
        ? throw TooLong(file, $"{text.Length} characters")
        : new YamlText(new YamlSource(file, text)).ReadDocument();

    private static CompileException TooLong(string? file, string length) => new(
        JobCodes.YamlSyntax, $"the file has {length}; at most {LongestText} are accepted", new SourcePlace(file), "check the file name");

    private YamlNode ReadDocument()
    {
        events.Take();
        if (events.Next is StreamEnd)
        {
            throw new CompileException(JobCodes.YamlSyntax, "the file is empty", new SourcePlace(source.File));
        }

        events.Take();
        YamlNode root = ReadNode("", 0);
        events.Take();
        if (events.Next is not StreamEnd)
        {
            throw events.Fault(events.Next, "a second document starts here");
        }

        return root;
    }

    private YamlNode ReadNode(string path, int depth)
    {
        ParsingEvent start = events.Take();
        if (depth > DeepestNesting)
        {
            throw events.Fault(start, $"nested more than {DeepestNesting} levels deep");
        }

        if (start is AnchorAlias alias)
        {
            return Expand(alias);
        }

        int before = nodes;
        Count(start, 1);
        if (start is not NodeEvent node)
        {
            throw events.Fault(start, "a value is missing here", "write a value, or take its key away");
        }

        if (!node.Tag.IsEmpty && !node.Tag.IsNonSpecific)
        {
            throw events.Fault(start, $"tags such as '{node.Tag.Value}' are not used here");
        }

        (int line, int column) = events.PlaceOf(start);
        YamlNode result = node switch
        {
            Scalar scalar => new YamlScalar(source, path, line, column, TextOf(scalar)),
            SequenceStart => new YamlList(source, path, line, column, ReadItems(path, depth)),
            _ => new YamlMapping(source, path, line, column, ReadEntries(path, depth)),
        };
        if (!node.Anchor.IsEmpty)
        {
            anchors[node.Anchor.Value] = (result, nodes - before);
        }

        return result;
    }

    private List<YamlNode> ReadItems(string path, int depth)
    {
        List<YamlNode> items = [];
        while (events.Next is not SequenceEnd)
        {
            items.Add(ReadNode($"{path}[{items.Count + 1}]", depth + 1));
        }

        events.Take();
        return items;
    }

    private List<YamlEntry> ReadEntries(string path, int depth)
    {
        List<YamlEntry> entries = [];
        Dictionary<string, int> lines = new(StringComparer.Ordinal);
        while (events.Next is not MappingEnd)
        {
            ParsingEvent keyEvent = events.Take();
            if (keyEvent is not Scalar key)
            {
                throw events.Fault(keyEvent, "a key must be a plain word");
            }

            if (key.Value.Length == 0)
            {
                throw events.Fault(keyEvent, "a key is missing here", "write a key before the colon");
            }

            (int line, int column) = events.PlaceOf(key);
            if (!lines.TryAdd(key.Value, line))
            {
                throw new CompileException(
                    JobCodes.DuplicateKey,
                    $"the key '{key.Value}' is given twice, first in line {lines[key.Value]}",
                    new SourcePlace(source.File, line, column),
                    "keep one of them",
                    source.LineText(line));
            }

            entries.Add(new YamlEntry(key.Value, line, column, ReadNode(path.Length == 0 ? key.Value : $"{path}.{key.Value}", depth + 1)));
        }

        events.Take();
        return entries;
    }

    private YamlNode Expand(AnchorAlias alias)
    {
        if (!anchors.TryGetValue(alias.Value.Value, out var target))
        {
            throw events.Fault(alias, $"'*{alias.Value.Value}' refers to an anchor that is not complete above it");
        }

        Count(alias, target.Nodes);
        return target.Node;
    }

    private void Count(ParsingEvent at, int more)
    {
        nodes += more;
        if (nodes > MostNodes)
        {
            throw events.Fault(at, $"the file expands to more than {MostNodes} values");
        }
    }

    /// <summary>YAML's own words for "no value" mean the same as leaving the value out.</summary>
    private static string TextOf(Scalar scalar) =>
        scalar.Style == ScalarStyle.Plain && scalar.Value is "~" or "null" ? "" : scalar.Value.Trim();
}
