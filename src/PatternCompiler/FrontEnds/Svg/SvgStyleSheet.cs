using System.Buffers;
using System.Text;

namespace PatternCompiler.FrontEnds.Svg;

/// <summary>
/// The rules of the drawing's <c>style</c> elements, as far as drawing programs use them: selectors of an element name, a
/// class, an id or <c>*</c>, also several joined by commas. Other rules are counted, not applied.
/// </summary>
internal sealed class SvgStyleSheet
{
    private static readonly SearchValues<char> CompoundSigns = SearchValues.Create(" >+~:[.#*@()");

    private readonly Dictionary<string, List<(string Property, string Value)>> rules = new(StringComparer.Ordinal);

    /// <summary>True if no rule is known.</summary>
    public bool IsEmpty => rules.Count == 0;

    /// <summary>Selectors that are not applied.</summary>
    public int UnknownSelectors { get; private set; }

    /// <summary>Reads the text of all style elements.</summary>
    public static SvgStyleSheet Parse(string text)
    {
        var sheet = new SvgStyleSheet();
        string rules = WithoutComments(text);
        int start = 0;
        while (rules.IndexOf('{', start) is int open and >= 0)
        {
            int close = rules.IndexOf('}', open);
            close = close < 0 ? rules.Length : close;
            string body = rules[(open + 1)..close];
            foreach (string selector in rules[start..open].Split(',', StringSplitOptions.TrimEntries | StringSplitOptions.RemoveEmptyEntries))
            {
                sheet.Add(selector, body);
            }

            start = Math.Min(close + 1, rules.Length);
        }

        return sheet;
    }

    /// <summary>The declarations of a text such as <c>fill: none; stroke: red</c>.</summary>
    public static IEnumerable<(string Property, string Value)> Declarations(string text)
    {
        foreach (string declaration in text.Split(';'))
        {
            int colon = declaration.IndexOf(':', StringComparison.Ordinal);
            if (colon > 0)
            {
                string value = declaration[(colon + 1)..].Replace("!important", "", StringComparison.Ordinal);
                yield return (declaration[..colon].Trim().ToLowerInvariant(), value.Trim());
            }
        }
    }

    /// <summary>Declarations that apply to an element, the weaker first.</summary>
    public IEnumerable<(string Property, string Value)> For(SvgElement element)
    {
        IEnumerable<string> classes = (element.Get("class") ?? "")
            .Split(' ', StringSplitOptions.RemoveEmptyEntries | StringSplitOptions.TrimEntries).Select(name => "." + name);
        foreach (string selector in classes.Prepend(element.Name).Prepend("*").Append("#" + element.Get("id")))
        {
            if (rules.TryGetValue(selector, out List<(string Property, string Value)>? declarations))
            {
                foreach ((string, string) declaration in declarations)
                {
                    yield return declaration;
                }
            }
        }
    }

    private void Add(string selector, string body)
    {
        // "path.cls" selects less than ".cls"; taking it for every element of the class could only be wrong.
        bool isKnown = selector == "*" || selector.AsSpan(selector[0] is '.' or '#' ? 1 : 0).IndexOfAny(CompoundSigns) < 0;
        if (!isKnown)
        {
            UnknownSelectors++;
            return;
        }

        if (!rules.TryGetValue(selector, out List<(string Property, string Value)>? list))
        {
            rules.Add(selector, list = []);
        }

        list.AddRange(Declarations(body));
    }

    private static string WithoutComments(string text)
    {
        var kept = new StringBuilder(text.Length);
        int start = 0;
        while (start < text.Length)
        {
            int comment = text.IndexOf("/*", start, StringComparison.Ordinal);
            comment = comment < 0 ? text.Length : comment;
            kept.Append(text, start, comment - start);
            int end = comment < text.Length ? text.IndexOf("*/", comment + 2, StringComparison.Ordinal) : -1;
            start = end < 0 ? text.Length : end + 2;
        }

        return kept.ToString();
    }
}
