using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// Reads the subset of YAML that settings need into nodes with their places. Anchors and aliases work, as a way to write
/// shared settings once, but their expansion is bounded; tags, merge keys and further documents are refused.
/// </summary>
internal sealed class YamlText
{
    /// <summary>Longest text accepted; settings files are a few kilobytes.</summary>
    internal const int LongestText = 4 << 20;

    private const int DeepestNesting = 32;
    private const int MostNodes = 200_000;

    private readonly YamlSource source;
    private readonly Parser parser;
    private readonly Dictionary<string, (YamlNode Node, int Nodes)> anchors = new(StringComparer.Ordinal);
    private int nodes;

    private YamlText(YamlSource source)
    {
        this.source = source;
        parser = new Parser(new StringReader(source.Text));
    }

    /// <summary>Reads one document.</summary>
    /// <param name="text">The YAML.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The text is no YAML of this kind.</exception>
    public static YamlNode Parse(string text, string? file)
    {
        if (text.Length > LongestText)
        {
            throw new CompileException(JobCodes.YamlSyntax, $"the file has {text.Length} characters; at most {LongestText} are accepted", new SourcePlace(file));
        }

        if (text.Contains('\0', StringComparison.Ordinal))
        {
            throw new CompileException(JobCodes.YamlSyntax, "the file is binary, not YAML text", new SourcePlace(file), "check the file name");
        }

        var source = new YamlSource(file, text);
        try
        {
            return new YamlText(source).ReadDocument();
        }
        catch (YamlException exception)
        {
            throw Fault(source, exception.Start, WithoutPosition(exception.Message), exception);
        }
    }

    private YamlNode ReadDocument()
    {
        Next<StreamStart>();
        if (Peek() is StreamEnd)
        {
            throw new CompileException(JobCodes.YamlSyntax, "the file is empty", new SourcePlace(source.File));
        }

        Next<DocumentStart>();
        YamlNode root = ReadNode("", 0);
        Next<DocumentEnd>();
        if (Peek() is not StreamEnd)
        {
            throw Fault(source, Peek().Start, "a second document starts here", null);
        }

        return root;
    }

    private YamlNode ReadNode(string path, int depth)
    {
        ParsingEvent start = Peek();
        parser.MoveNext();
        if (depth > DeepestNesting)
        {
            throw Fault(source, start.Start, $"nested more than {DeepestNesting} levels deep", null);
        }

        if (start is AnchorAlias alias)
        {
            return Expand(alias);
        }

        int before = nodes;
        Count(start.Start, 1);
        var node = (NodeEvent)start;
        if (!node.Tag.IsEmpty && !node.Tag.IsNonSpecific)
        {
            throw Fault(source, start.Start, $"tags such as '{node.Tag.Value}' are not used here", null);
        }

        (int line, int column) = Position(start.Start);
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
        while (Peek() is not SequenceEnd)
        {
            items.Add(ReadNode($"{path}[{items.Count + 1}]", depth + 1));
        }

        parser.MoveNext();
        return items;
    }

    private List<YamlEntry> ReadEntries(string path, int depth)
    {
        List<YamlEntry> entries = [];
        Dictionary<string, int> lines = new(StringComparer.Ordinal);
        while (Peek() is not MappingEnd)
        {
            ParsingEvent keyEvent = Peek();
            if (keyEvent is not Scalar key)
            {
                throw Fault(source, keyEvent.Start, "a key must be a plain word", null);
            }

            parser.MoveNext();
            (int line, int column) = Position(key.Start);
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

        parser.MoveNext();
        return entries;
    }

    private YamlNode Expand(AnchorAlias alias)
    {
        if (!anchors.TryGetValue(alias.Value.Value, out var target))
        {
            throw Fault(source, alias.Start, $"'*{alias.Value.Value}' refers to an anchor that is not complete above it", null);
        }

        Count(alias.Start, target.Nodes);
        return target.Node;
    }

    private void Count(Mark mark, int more)
    {
        nodes += more;
        if (nodes > MostNodes)
        {
            throw Fault(source, mark, $"the file expands to more than {MostNodes} values", null);
        }
    }

    private ParsingEvent Peek()
    {
        while (parser.Current is null or Comment)
        {
            if (!parser.MoveNext())
            {
                throw new CompileException(JobCodes.YamlSyntax, "the file ends too early", new SourcePlace(source.File));
            }
        }

        return parser.Current;
    }

    private void Next<T>()
        where T : ParsingEvent
    {
        ParsingEvent current = Peek();
        if (current is not T)
        {
            throw Fault(source, current.Start, "the document is malformed", null);
        }

        if (current is not StreamEnd)
        {
            parser.MoveNext();
        }
    }

    /// <summary>YAML's own words for "no value" mean the same as leaving the value out.</summary>
    private static string TextOf(Scalar scalar) =>
        scalar.Style == ScalarStyle.Plain && scalar.Value is "~" or "null" ? "" : scalar.Value.Trim();

    private static (int Line, int Column) Position(Mark mark) => ((int)mark.Line, (int)mark.Column);

    private static string WithoutPosition(string message)
    {
        int end = message.LastIndexOf("): ", StringComparison.Ordinal);
        string text = (message.StartsWith('(') && end > 0 ? message[(end + 3)..] : message).TrimEnd('.');
        return text.Length == 0 ? "not YAML" : char.ToLowerInvariant(text[0]) + text[1..];
    }

    private static CompileException Fault(YamlSource source, Mark mark, string message, Exception? cause)
    {
        (int line, int column) = Position(mark);
        return new CompileException(
            new Diagnostic(JobCodes.YamlSyntax, Severity.Error, message, new SourcePlace(source.File, line, column), null, source.LineText(line)),
            cause);
    }
}
