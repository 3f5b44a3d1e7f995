using System.Globalization;
using System.Text.Json;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Svg.Styles;
using PatternCompiler.FrontEnds.Svg;
using PatternCompiler.FrontEnds.Svg.Syntax;
using PatternCompiler.Limits;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>The properties of every element of random drawings with random style sheets, against the computed style of Chromium.</summary>
public sealed class SvgCascadeAgainstChromiumTests
{
    private static readonly int Documents = Iterations.Usually(400);
    private static readonly string[] Properties = ["fill", "stroke", "stroke-width", "display", "visibility", "fill-rule", "fill-opacity", "opacity", "overflow", "stroke-linejoin", "vector-effect"];

    [ChromiumFact]
    public void Every_element_has_the_style_that_chromium_computes()
    {
        string[] drawings = [.. Enumerable.Range(1, Documents).Select(seed => Drawing(new Random(seed)))];
        string[][][] computed = Computed(drawings);
        var differences = new List<string>();
        int compared = 0;
        int changed = 0;
        for (int i = 0; i < drawings.Length; i++)
        {
            var context = new SvgContext("a.svg", new DiagnosticSink());
            SvgTree tree = SvgTree.Read(new MemoryStream(Encoding.UTF8.GetBytes(drawings[i])), "a.svg", WorkLimits.Usual, default);
            SvgStyleSheet sheet = SvgStyleSheet.Parse(context, tree.Styles, tree.Count, default);
            var ours = new List<string[]>();
            Collect(tree.Root, SvgStyle.Initial);
            Assert.Equal(computed[i].Length, ours.Count);

                // The outermost element is not the outermost of the page in which Chromium sees it.
            for (int element = 1; element < ours.Count; element++)
            {
                if (ours[element].Length == 0)
                {
                    continue;
                }

                for (int property = 0; property < Properties.Length; property++)
                {
                    string theirs = Plain(Properties[property], computed[i][element][property]);
                    if (ours[element][property] != theirs)
                    {
                        differences.Add($"drawing {i}, element {element}, {Properties[property]}: {ours[element][property]}, Chromium {theirs}\n{drawings[i]}");
                    }

                    compared++;
                    changed += theirs != Plain(Properties[property], SvgStyle.Initial.Text(Properties[property])) ? 1 : 0;
                }
            }

            void Collect(SvgElement element, SvgStyle outer)
            {
                SvgStyle style = outer.For(context, element, SvgCascade.Of(context, element, sheet));

                // An element of another namespace draws nothing; it only stands among the others.
                ours.Add(element.IsForeign ? [] : [.. Properties.Select(property => Plain(property, property is "fill" or "stroke" ? style.Paint(property) : style.Text(property)))]);
                element.Children.ForEach(child => Collect(child, style));
            }
        }

        Assert.True(differences.Count == 0, string.Join('\n', differences));
        Assert.True(compared > 20_000 && changed > 3000, $"{compared} values, {changed} of them not initial");
    }

    // Colours, lengths and numbers in one spelling each.
    private static string Plain(string property, string value) => property switch
    {
        "fill" or "stroke" => SvgColour.Read(value) is { } colour ? colour.Opacity == 0 ? "transparent" : colour.Name : value.ToLowerInvariant(),
        "stroke-width" => double.Parse(value.Replace("px", "", StringComparison.OrdinalIgnoreCase), CultureInfo.InvariantCulture).ToString(CultureInfo.InvariantCulture),
        "opacity" or "fill-opacity" => SvgColour.TryReadOpacity(value, out double opacity) ? Math.Round(opacity, 4).ToString(CultureInfo.InvariantCulture) : value,
        _ => value.ToLowerInvariant(),
    };

    private static string[][][] Computed(string[] drawings)
    {
        string page = $$"""
            <!DOCTYPE html><html><body><pre id="out"></pre><script>
            const drawings = {{JsonSerializer.Serialize(drawings)}};
            const properties = {{JsonSerializer.Serialize(Properties)}};
            const all = drawings.map(text => {
              const root = new DOMParser().parseFromString(text, 'image/svg+xml').documentElement;
              const host = document.body.appendChild(document.createElement('span'));
              const shadow = host.attachShadow({mode: 'open'});
              shadow.appendChild(document.adoptNode(root));
              const found = [...shadow.querySelectorAll('*')].map(element => { const style = getComputedStyle(element); return properties.map(name => style.getPropertyValue(name)); });
              host.remove();
              return found;
            });
            document.getElementById('out').textContent = btoa(JSON.stringify(all));
            </script></body></html>
            """;
        string document = Chromium.Document(page);
        int start = document.IndexOf("<pre id=\"out\">", StringComparison.Ordinal) + 14;
        string encoded = document[start..document.IndexOf("</pre>", start, StringComparison.Ordinal)];
        return JsonSerializer.Deserialize<string[][][]>(Convert.FromBase64String(encoded))!;
    }

    private static string Drawing(Random random)
    {
        var text = new StringBuilder("<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:f=\"urn:f\" style=\"overflow: visible !important\">");
        int sheets = random.Next(1, 3);
        for (int i = 0; i < sheets; i++)
        {
            text.Append("<style>");
            for (int rule = random.Next(1, 9); rule > 0; rule--)
            {
                text.Append(Pick(random, "", "", "", "/* { */", "@font-face { font-family: x }")).Append(Selectors(random)).Append(" { ").Append(Declarations(random)).Append(" }\n");
            }

            text.Append("</style>");
        }

        int ids = 0;
        for (int i = random.Next(1, 4); i > 0; i--)
        {
            AddElement(text, random, 0, ref ids);
        }

        return text.Append("</svg>").ToString();
    }

    private static void AddElement(StringBuilder text, Random random, int depth, ref int ids)
    {
        string name = depth < 4 ? Pick(random, "g", "g", "svg", "a", "rect", "circle", "path", "f:note") : Pick(random, "rect", "circle", "path");
        text.Append('<').Append(name);
        text.Append(random.Next(3) == 0 ? $" id=\"i{ids++}\"" : "");
        text.Append(random.Next(3) > 0 ? $" class=\"{Pick(random, "a", "b", "c", "a b", " c\ta ", "b c d", "d")}\"" : "");
        text.Append(random.Next(4) == 0 ? $" data-k=\"{Pick(random, "one", "two", "one two", "one-x", "")}\"" : "");
        for (int i = random.Next(3); i > 0; i--)
        {
            (string property, string value) = Declaration(random);
            if (!text.ToString(text.Length - Math.Min(text.Length, 200), Math.Min(text.Length, 200)).Split('<')[^1].Contains($" {property}=", StringComparison.Ordinal))
            {
                text.Append(CultureInfo.InvariantCulture, $" {property}=\"{value}\"");
            }
        }

        text.Append(random.Next(3) == 0 ? $" style=\"{Declarations(random)}\"" : "").Append('>');
        if (name is "g" or "svg" or "a")
        {
            for (int i = random.Next(4); i > 0; i--)
            {
                text.Append(Pick(random, "", "\n", "x"));
                AddElement(text, random, depth + 1, ref ids);
            }
        }

        text.Append("</").Append(name).Append('>');
    }

    private static string Declarations(Random random)
    {
        var text = new StringBuilder();
        for (int i = random.Next(1, 4); i > 0; i--)
        {
            (string property, string value) = Declaration(random);
            text.Append(property).Append(Pick(random, ":", ": ", " : ")).Append(value).Append(Pick(random, "", "", "", " !important", "! Important")).Append(Pick(random, ";", " ; ", ";;"));
        }

        return text.ToString();
    }

    private static (string Property, string Value) Declaration(Random random)
    {
        string wide = Pick(random, "", "", "", "", "", "inherit", "initial", "unset", "revert");
        (string property, string value) = random.Next(14) switch
        {
            < 4 => ("fill", Pick(random, "none", "red", "#00f", "#0f08", "currentColor", "transparent", "rgb(1 2 3 / 50%)", "hsl(120, 50%, 50%)", "BLACK")),
            4 => ("stroke", Pick(random, "none", "lime", "#123456", "currentcolor", "rgba(0,0,0,0)")),
            5 => ("stroke-width", Pick(random, "0", "1", "2.5", "3px", "4PX", "1e1")),
            6 => ("display", Pick(random, "none", "inline", "block")),
            7 => ("visibility", Pick(random, "hidden", "visible", "collapse")),
            8 => ("fill-rule", Pick(random, "evenodd", "nonzero")),
            9 => ("fill-opacity", Pick(random, "0", "0.5", "25%", "-1", "2")),
            10 => ("opacity", Pick(random, "0", "1", ".25", "0%")),
            11 => ("overflow", Pick(random, "hidden", "visible", "scroll", "auto")),
            12 => ("color", Pick(random, "red", "#abc", "currentColor", "transparent")),
            _ => Pick(random, "j", "v") == "j" ? ("stroke-linejoin", Pick(random, "round", "bevel", "miter")) : ("vector-effect", Pick(random, "none", "non-scaling-stroke")),
        };
        return (property, wide.Length > 0 ? wide : value);
    }

    private static string Selectors(Random random) => random.Next(4) == 0 ? Complex(random, 1) + Pick(random, ",", " , ") + Complex(random, 1) : Complex(random, 1);

    private static string Complex(Random random, int depth)
    {
        string text = Compound(random, depth);
        for (int i = random.Next(3); i > 0; i--)
        {
            text += Pick(random, " ", " > ", ">", " + ", "~", "\n") + Compound(random, depth);
        }

        return text;
    }

    private static string Compound(Random random, int depth)
    {
        string text = Pick(random, "", "", "*", "g", "rect", "circle", "svg", "note");
        int count = text.Length == 0 ? random.Next(1, 3) : random.Next(3) / 2;
        for (int i = 0; i < count; i++)
        {
            text += Simple(random, depth);
        }

        return text;
    }

    private static string Simple(Random random, int depth) => random.Next(depth > 0 ? 12 : 8) switch
    {
        < 3 => Pick(random, ".a", ".b", ".c", ".d", ".\\61 "),
        3 => $"#i{random.Next(4)}",
        4 => Pick(random, "[data-k]", "[data-k=one]", "[data-k~='two']", "[data-k|=\"one\"]", "[data-k^=o]", "[data-k$=x]", "[data-k*=\"e t\"]", "[data-k=ONE i]", "[ data-k = 'two' ]"),
        5 => Pick(random, ":first-child", ":last-child", ":only-child", ":first-of-type", ":last-of-type", ":only-of-type", ":empty", ":hover"),
        6 or 7 => $":nth-{Pick(random, "child", "last-child", "of-type", "last-of-type")}({Pick(random, "odd", "even", "2", "n+2", "-n+2", "2n", "3n - 1", "+3", "-2n+3", "0n+1")})",
        8 => $":not({Complex(random, depth - 1)})",
        9 => $":is({Complex(random, depth - 1)}, {Complex(random, depth - 1)})",
        10 => $":where({Complex(random, depth - 1)})",
        _ => $":nth-child({Pick(random, "2", "odd", "n+2")} of {Complex(random, depth - 1)})",
    };

    private static string Pick(Random random, params string[] words) => words[random.Next(words.Length)];
}
