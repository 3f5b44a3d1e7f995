using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Operations;

/// <summary>
/// Reads areas in words: <c>pads with fingers without holes</c>. The words <c>with</c> (union), <c>without</c>
/// (difference), <c>inside</c> (intersection) and <c>xor</c> (symmetric difference) bind equally and from left to right;
/// brackets group. Besides layers there are <c>rectangle (x, y) (x, y)</c> and <c>frame LENGTH around LAYER</c>, so that
/// <c>frame 5 um around pads without pads</c> inverts the tone; <c>grown by LENGTH</c> and <c>shrunk by LENGTH</c> after
/// an area move its edges. Names with blanks, brackets or commas, and names that are
/// one of these words, stand in double quotes.
/// </summary>
internal ref struct LayerExpressionParser
{
    private const int LongestQuote = 200;

    private const int DeepestBrackets = 64;

    private readonly YamlNode node;
    private readonly string text;
    private int position;
    private int depth;

    private LayerExpressionParser(YamlNode node)
    {
        this.node = node;
        text = node.AsText();
    }

    /// <summary>Reads the text of a YAML value.</summary>
    /// <exception cref="CompileException">The text is no such expression.</exception>
    public static LayerExpression Parse(YamlNode node)
    {
        var parser = new LayerExpressionParser(node);
        LayerExpression expression = parser.ReadExpression();
        return parser.position == parser.text.Length
            ? expression
            : throw parser.Fault("'with', 'without', 'inside', 'xor', 'grown' or 'shrunk'");
    }

    private LayerExpression ReadExpression()
    {
        LayerExpression left = ReadMoved();
        while (true)
        {
            BooleanOperation? operation =
                Take("with") ? BooleanOperation.Union
                : Take("without") ? BooleanOperation.Difference
                : Take("inside") ? BooleanOperation.Intersection
                : Take("xor") ? BooleanOperation.SymmetricDifference
                : null;
            if (operation is not BooleanOperation known)
            {
                return left;
            }

            left = new CombinedArea(known, left, ReadMoved());
        }
    }

    private LayerExpression ReadMoved()
    {
        LayerExpression area = ReadOperand();
        while (true)
        {
            int sign = Take("grown") ? 1 : Take("shrunk") ? -1 : 0;
            if (sign == 0)
            {
                return area;
            }

            Require("by");
            area = new MovedArea(sign * ReadShortLength(), area);
        }
    }

    /// <summary>A length of one word ("10nm") or two ("10 nm").</summary>
    private double ReadShortLength()
    {
        string first = PeekWord();
        position += first.Length;
        if (Quantity.TryParse(first, [Dimension.Length], out Quantity length, out _))
        {
            return length.In(Unit.Nanometre);
        }

        SkipBlanks();
        string second = PeekWord();
        position += second.Length;
        return ToLength($"{first} {second}".Trim());
    }

    private LayerExpression ReadOperand()
    {
        if (Take("("))
        {
            if (++depth > DeepestBrackets)
            {
                throw Fault("fewer brackets inside each other");
            }

            LayerExpression inner = ReadExpression();
            Require(")");
            depth--;
            return inner;
        }

        if (Take("rectangle"))
        {
            (double x1, double y1) = ReadPoint();
            (double x2, double y2) = ReadPoint();
            return x1 != x2 && y1 != y2
                ? new RectangleArea(Math.Min(x1, x2), Math.Min(y1, y2), Math.Max(x1, x2), Math.Max(y1, y2))
                : throw node.OutOfRange($"a rectangle in {node.Name} has no area", "give it two opposite corners");
        }

        if (Take("frame"))
        {
            double margin = ReadLength("around");
            Require("around");
            return margin >= 0
                ? new FrameArea(margin, ReadName())
                : throw node.OutOfRange($"the margin of a frame in {node.Name} is negative");
        }

        return new LayerArea(ReadName());
    }

    private string ReadName()
    {
        if (position < text.Length && text[position] == '"')
        {
            int end = text.IndexOf('"', position + 1);
            string quoted = end > position + 1 ? text[(position + 1)..end] : throw Fault("a layer name and a closing quote");
            position = end + 1;
            return quoted;
        }

        string word = PeekWord();
        if (word.Length == 0 || word is "(" or ")" or "," or "with" or "without" or "inside" or "xor" or "rectangle" or "frame" or "around" or "grown" or "shrunk" or "by")
        {
            throw Fault("a layer name");
        }

        position += word.Length;
        return word;
    }

    private (double X, double Y) ReadPoint()
    {
        Require("(");
        double x = ReadLength(",");
        Require(",");
        double y = ReadLength(")");
        Require(")");
        return (x, y);
    }

    /// <summary>A length in nanometres: everything up to the given mark or word.</summary>
    private double ReadLength(string end)
    {
        int start = position;
        while (position < text.Length && PeekWord() is { Length: > 0 } word && word != end && word is not ("(" or ")" or ","))
        {
            position += word.Length;
            SkipBlanks();
        }

        return ToLength(text[start..position].Trim());
    }

    private readonly double ToLength(string length) =>
        Quantity.TryParse(length, [Dimension.Length], out Quantity quantity, out QuantityFault? fault)
            ? quantity.In(Unit.Nanometre)
            : throw node.Error(fault.Code, $"an area in {node.Name} {fault.Problem}", fault.Fix);

    /// <summary>Steps over a word or mark, and over the blanks around it, if it comes next; over those before it in any case.</summary>
    private bool Take(string word)
    {
        SkipBlanks();
        if (PeekWord() != word)
        {
            return false;
        }

        position += word.Length;
        SkipBlanks();
        return true;
    }

    private void Require(string word)
    {
        if (!Take(word))
        {
            throw Fault($"'{word}'");
        }
    }

    private readonly string PeekWord()
    {
        int end = position;
        while (end < text.Length && !IsBlank(text[end]) && text[end] is not ('(' or ')' or ',' or '"'))
        {
            end++;
        }

        return end > position || end == text.Length ? text[position..end] : text[position..(end + 1)];
    }

    private void SkipBlanks()
    {
        while (position < text.Length && IsBlank(text[position]))
        {
            position++;
        }
    }

    private static bool IsBlank(char c) => c is ' ' or '\t' or '\r' or '\n';

    private readonly CompileException Fault(string expected)
    {
        string found = position < text.Length ? $"'{text[position..]}'" : "the end";
        return node.Error(
            JobCodes.BadExpression,
            $"{node.Name} is '{PrintedText.Cut(text, LongestQuote)}': expected {expected}, found {PrintedText.Cut(found, LongestQuote)}",
            "write for example pads with fingers without holes");
    }
}
