using System.Text;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Reports.Html;

/// <summary>Writes HTML elements with everything escaped, and closes them in order.</summary>
internal sealed class HtmlBuilder
{
    private static readonly HashSet<string> Inline = ["a", "b", "code", "dd", "dt", "em", "h1", "h2", "h3", "li", "p", "span", "summary", "td", "th", "title", "caption", "text", "label", "option", "button"];

    private const int LongestText = 4000;

    private readonly StringBuilder text = new();
    private readonly Stack<string> open = new();

    /// <summary>Starts an element.</summary>
    public HtmlBuilder Open(string tag, params ReadOnlySpan<(string Name, string Value)> attributes)
    {
        Start(tag, attributes);
        open.Push(tag);
        if (!Inline.Contains(tag))
        {
            text.Append('\n');
        }

        return this;
    }

    /// <summary>Ends the element that was started last.</summary>
    public HtmlBuilder Close()
    {
        string tag = open.Pop();
        text.Append("</").Append(tag).Append('>');
        if (tag is not ("a" or "b" or "code" or "em" or "span"))
        {
            text.Append('\n');
        }

        return this;
    }

    /// <summary>An element that holds text.</summary>
    public HtmlBuilder Element(string tag, string content, params ReadOnlySpan<(string Name, string Value)> attributes)
    {
        Start(tag, attributes);
        open.Push(tag);
        return Text(content).Close();
    }

    /// <summary>An element that holds nothing and is not closed.</summary>
    public HtmlBuilder Void(string tag, params ReadOnlySpan<(string Name, string Value)> attributes)
    {
        Start(tag, attributes);
        text.Append('\n');
        return this;
    }

    /// <summary>Text.</summary>
    public HtmlBuilder Text(string content)
    {
        Escape(PrintedText.Cut(content, LongestText));
        return this;
    }

    /// <summary>Text that, where it must, breaks behind the marks within names of files, and not amid a word or a number.</summary>
    public HtmlBuilder Name(string content)
    {
        string left = PrintedText.Cut(content, LongestText);
        int start = 0;
        for (int at = 1; at < left.Length; at++)
        {
            if (left[at - 1] is '/' or '.' or '_' or '-' && !char.IsAsciiDigit(left[at]))
            {
                Escape(left[start..at]);
                text.Append("<wbr>");
                start = at;
            }
        }

        Escape(left[start..]);
        return this;
    }

    /// <summary>Text of a style element, which knows no escapes.</summary>
    public HtmlBuilder Style(string css)
    {
        text.Append("<style>\n").Append(css).Append("</style>\n");
        return this;
    }

    /// <summary>A script of the program's own, which knows no escapes either.</summary>
    public HtmlBuilder Script(string script)
    {
        text.Append("<script>\n").Append(script).Append("</script>\n");
        return this;
    }

    /// <summary>Data for a script, in characters that end no element.</summary>
    public HtmlBuilder Data(string id, string type, string data)
    {
        text.Append("<script id=\"").Append(id).Append("\" type=\"").Append(type).Append("\">").Append(data).Append("</script>\n");
        return this;
    }

    /// <summary>Everything, with the document type before it; all elements are closed.</summary>
    public string ToDocument() =>
        open.Count == 0 ? "<!DOCTYPE html>\n" + text : throw new InvalidOperationException($"<{open.Peek()}> is still open.");

    private void Start(string tag, ReadOnlySpan<(string Name, string Value)> attributes)
    {
        text.Append('<').Append(tag);
        foreach ((string name, string value) in attributes)
        {
            text.Append(' ').Append(name).Append("=\"");
            Escape(value);
            text.Append('"');
        }

        text.Append('>');
    }

    private void Escape(string content)
    {
        foreach (char c in PrintedText.Of(content))
        {
            switch (c)
            {
                case '&':
                    text.Append("&amp;");
                    break;
                case '<':
                    text.Append("&lt;");
                    break;
                case '>':
                    text.Append("&gt;");
                    break;
                case '"':
                    text.Append("&quot;");
                    break;
                default:
                    text.Append(c);
                    break;
            }
        }
    }
}
