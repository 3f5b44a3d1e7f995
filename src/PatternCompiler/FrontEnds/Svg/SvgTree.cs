using System.Text;
using System.Xml;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>
/// Reads the XML into elements. A document type may name an external one, which is never fetched; one with declarations of
/// its own (entities above all) is refused before the drawing is looked at.
/// </summary>
internal sealed class SvgTree
{
    private const string SvgNamespace = "http://www.w3.org/2000/svg";
    private const string LinkNamespace = "http://www.w3.org/1999/xlink";
    private const string HtmlNamespace = "http://www.w3.org/1999/xhtml";
    private const int DeepestNest = 256;

    private readonly string file;
    private readonly long longestText;
    private readonly Dictionary<string, SvgElement> byId = new(StringComparer.Ordinal);
    private readonly List<(SvgElement Element, StringBuilder Text)> styles = [];

    private SvgTree(string file, WorkLimits limits)
    {
        this.file = file;
        longestText = limits[WorkKind.Text];
    }

    /// <summary>The outermost element.</summary>
    public SvgElement Root { get; private set; } = null!;

    /// <summary>Number of elements.</summary>
    public int Count { get; private set; }

    /// <summary>The first element that changes others with time, or null.</summary>
    public SvgElement? Animation { get; private set; }

    /// <summary>All <c>style</c> elements and what they contain, in document order.</summary>
    public IReadOnlyList<(SvgElement Element, string Text)> Styles => [.. styles.Select(style => (style.Element, style.Text.ToString()))];

    /// <summary>Reads a file.</summary>
    public static SvgTree Read(Stream input, string file, WorkLimits limits, CancellationToken cancellation)
    {
        var tree = new SvgTree(file, limits);
        var settings = new XmlReaderSettings
        {
            // The document type is looked at only to refuse what it declares.
            DtdProcessing = DtdProcessing.Parse,
            XmlResolver = null,
            IgnoreComments = true,
            CloseInput = false,
            MaxCharactersFromEntities = 1024,
        };
        using var watched = new MarkupWatch(input, file, limits);
        try
        {
            using XmlReader reader = XmlReader.Create(watched, settings);
            tree.ReadAll(reader, cancellation);
        }
        catch (XmlException fault) when (fault.Message.Contains(nameof(XmlReaderSettings.MaxCharactersFromEntities), StringComparison.Ordinal))
        {
            // The bound on what entities expand to is named in the message, and nowhere else.
            throw tree.Declarations("declares entities, which are", 0, 0);
        }
        catch (XmlException fault)
        {
            throw new CompileException(
                new Diagnostic(
                    SvgCodes.NotWellFormed,
                    Severity.Error,
                    "the file is not well-formed XML: " + Reason(fault),
                    new SourcePlace(file, fault.LineNumber, fault.LinePosition),
                    "export the drawing again as SVG"),
                fault);
        }

        return tree;
    }

    /// <summary>The element with an id, or null.</summary>
    public SvgElement? Find(string id) => byId.GetValueOrDefault(id);

    private static string Reason(XmlException fault)
    {
        // The place stands at the end of the runtime's message; it is printed in front already.
        int place = fault.Message.LastIndexOf(" Line ", StringComparison.Ordinal);
        string message = place > 0 ? fault.Message[..place] : fault.Message;
        return message.TrimEnd('.');
    }

    private void ReadAll(XmlReader reader, CancellationToken cancellation)
    {
        SvgElement? open = null;
        bool hasMore = reader.Read();
        while (hasMore)
        {
            switch (reader.NodeType)
            {
                case XmlNodeType.DocumentType:
                    RefuseDeclarations(reader);
                    break;
                case XmlNodeType.ProcessingInstruction when reader.Name == "xml-stylesheet":
                    throw NotRead(reader, "the style sheet of another file");
                case XmlNodeType.Element when !IsSvg(reader) && open is not null:
                    AddForeign(reader, open);
                    reader.Skip();
                    hasMore = !reader.EOF;
                    continue;
                case XmlNodeType.Element:
                    cancellation.ThrowIfCancellationRequested();
                    bool isEmpty = reader.IsEmptyElement;
                    SvgElement element = Add(reader, open);
                    open = isEmpty ? open : element;
                    break;
                case XmlNodeType.EndElement:
                    open = open!.Parent;
                    break;
                case XmlNodeType.Text or XmlNodeType.CDATA or XmlNodeType.Whitespace or XmlNodeType.SignificantWhitespace when open is not null:
                    open.HasText = true;
                    if (open.Name == "style")
                    {
                        ReadStyles(reader, styles[^1].Text);
                    }

                    break;
            }

            hasMore = reader.Read();
        }
    }

    /// <summary>Takes the text of a style sheet piece by piece: an XML reader hands out pieces without holding the whole.</summary>
    private void ReadStyles(XmlReader reader, StringBuilder sheet)
    {
        int line = reader is IXmlLineInfo info ? info.LineNumber : 0;
        char[] piece = new char[4096];
        int count;
        while ((count = reader.ReadValueChunk(piece, 0, piece.Length)) > 0)
        {
            sheet.Append(piece, 0, count);
            if (sheet.Length > longestText)
            {
                throw MarkupWatch.Fault(file, line, longestText);
            }
        }
    }

    private void RefuseDeclarations(XmlReader reader)
    {
        if (!string.IsNullOrWhiteSpace(reader.Value))
        {
            (int line, int column) = reader is IXmlLineInfo info ? (info.LineNumber, info.LinePosition) : (0, 0);
            bool hasEntities = reader.Value.Contains("<!ENTITY", StringComparison.Ordinal);
            throw Declarations(hasEntities ? "declares entities, which are" : "has declarations, which are", line, column);
        }
    }

    private CompileException Declarations(string what, int line, int column) => new(
        SvgCodes.Declarations,
        $"the document type {what} not accepted",
        new SourcePlace(file, line, column),
        "export the drawing as plain SVG, or delete what stands in square brackets in its DOCTYPE");

    private static bool IsSvg(XmlReader reader) => reader.NamespaceURI is SvgNamespace or "";

    private SvgElement Add(XmlReader reader, SvgElement? parent)
    {
        string name = reader.LocalName;
        (int line, int column) = reader is IXmlLineInfo info ? (info.LineNumber, info.LinePosition) : (0, 0);
        if (parent is null && (name != "svg" || !IsSvg(reader)))
        {
            throw new CompileException(
                SvgCodes.NotSvg,
                $"the outermost element is '{name}', not 'svg'",
                new SourcePlace(file, line, column),
                "export the drawing as SVG");
        }

        if (reader.Depth > DeepestNest)
        {
            throw new CompileException(
                SvgCodes.TooLarge,
                $"elements nest more than {DeepestNest} deep",
                new SourcePlace(file, line, column),
                "ungroup some of them in the drawing program");
        }

        (string, string)[] attributes = ReadAttributes(reader, out string? label);
        var element = new SvgElement(name, attributes, parent, line, column) { Label = label, Index = parent?.Children.Count ?? 0 };
        parent?.Children.Add(element);
        Count++;
        if (name == "style")
        {
            styles.Add((element, new StringBuilder()));
        }
        else if (SvgFeatures.IsAnimation(name))
        {
            Animation ??= element;
        }

        if (parent is null)
        {
            Root = element;
        }

        if (element.Get("id") is string id)
        {
            byId.TryAdd(id, element);
        }

        return element;
    }

    // Elements of other namespaces draw nothing, but they are siblings to selectors; HTML's own style sheets would hold here too.
    private void AddForeign(XmlReader reader, SvgElement parent)
    {
        if (reader.NamespaceURI == HtmlNamespace && reader.LocalName is "style" or "link" or "script")
        {
            throw NotRead(reader, $"the HTML element '{reader.LocalName}'");
        }

        (int line, int column) = reader is IXmlLineInfo info ? (info.LineNumber, info.LinePosition) : (0, 0);
        string name = reader.LocalName;
        parent.Children.Add(new SvgElement(name, ReadAttributes(reader, out _), parent, line, column) { IsForeign = true, Index = parent.Children.Count });
    }

    private CompileException NotRead(XmlReader reader, string what) => new(
        SvgCodes.NotRead,
        $"{what} is not read",
        reader is IXmlLineInfo info ? new SourcePlace(file, info.LineNumber, info.LinePosition) : new SourcePlace(file),
        "export the drawing as plain SVG");

    private static (string, string)[] ReadAttributes(XmlReader reader, out string? label)
    {
        label = null;
        var attributes = new List<(string, string)>(reader.AttributeCount);
        while (reader.MoveToNextAttribute())
        {
            if (reader.NamespaceURI.Length == 0)
            {
                attributes.Add((reader.LocalName, reader.Value));
            }
            else if (reader.NamespaceURI == LinkNamespace && reader.LocalName == "href")
            {
                attributes.Add((SvgElement.OldLink, reader.Value));
            }
            else if (reader.LocalName == "label")
            {
                label = reader.Value;
            }
        }

        reader.MoveToElement();
        return [.. attributes];
    }
}
