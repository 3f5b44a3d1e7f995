using System.Text;
using System.Text.RegularExpressions;
using System.Xml;
using System.Xml.Linq;
using PatternCompiler.Fuzz.Running;

namespace PatternCompiler.Fuzz.Mutation;

/// <summary>Changes of XML drawings that leave them well-formed: elements, attributes, references, steps of paths. What is not well-formed stays as it is.</summary>
internal static partial class SvgMutations
{
    private static readonly string[] Holders = ["g", "symbol", "svg", "a", "defs", "clipPath", "pattern", "marker", "switch"];
    private static readonly string[] Shapes = ["path", "rect", "circle", "ellipse", "line", "polyline", "polygon", "use", "text", "image", "style"];

    private static readonly (string Name, string Values)[] Attributes =
    [
        ("transform", "rotate(30) scale(-1,2) skewX(45) translate(3) matrix(0,1,1,0,0,0) matrix(0,0,0,0,0,0) scale(1e9) none"),
        ("viewBox", "0,0,10,10 0,0,0,0 -5,-5,1e9,1 1,1,-1,1"), ("preserveAspectRatio", "none xMinYMax xMidYMid"),
        ("width", "10 0 -1 100% 1e9 4mm"), ("height", "10 0 -1 50% 1e9 3in"), ("x", "0 5 -1e9 50%"), ("y", "0 5 1px"), ("r", "1 0 -1 1e-9"), ("rx", "2 0 1e9"), ("ry", "3 0"),
        ("fill", "none red currentColor inherit #000 url(#a)"), ("fill-rule", "evenodd nonzero"), ("stroke", "black none inherit"), ("stroke-width", "2 0 -1 10% 1e9"),
        ("stroke-linejoin", "miter round bevel"), ("stroke-linecap", "butt round square"), ("stroke-dasharray", "1,2 0,0 1 none 1e-9,1e-9"), ("stroke-miterlimit", "1 0 1e9"),
        ("display", "none inline"), ("visibility", "hidden visible"), ("opacity", "0 0.5"), ("style", "fill:none;stroke:red fill:red!important display:none"), ("class", "a b"), ("id", "a b c"),
        ("href", "#a #b #c #"), ("points", "0,0,5,0,5,5 1,1 1,2,3"), ("d", "M0,0L5,5H9V9z M0,0A5,5,0,1,0,9,9C1,1,2,2,3,3S1,1,9,9q1,1,2,2t3,3z"),
    ];

    private static readonly string[] Steps = ["M1 1", "m1-1", "L9 2", "l-1 0", "H3", "v-4", "C1 2 3 4 5 6", "s1 1 2 2", "Q9 9 0 5", "t2 2", "A3 4 20 1 0 9 9", "a0 4 0 0 1 1 1", "z", "Z"];

    /// <summary>All of them, together with those of texts.</summary>
    public static readonly Mutate[] All =
    [
        Tree(Remove), Tree(Repeat), Tree(Move), Tree(Move), Tree(Wrap), Tree(Wrap), Tree(Splice), Tree(Splice), Tree(Refer), Tree(SetAttribute), Tree(SetAttribute), Tree(SetAttribute),
        Tree(DropAttribute), Tree(ChangePath), Tree(ChangePath), Tree(ChangePath), Tree(Add), .. TextMutations.All,
    ];

    private delegate void Edit(List<XElement> elements, FuzzTarget target, ref Dice dice);

    /// <summary>A drawing as many: one for each element of its root, with what others refer to.</summary>
    public static IEnumerable<byte[]> Parts(byte[] drawing)
    {
        XElement root = Parsed(drawing)!.Root!;
        XElement[] shared = [.. root.Elements().Where(part => part.Name.LocalName is "defs" or "style" or "symbol")];
        return root.Elements().Except(shared).Select(part => Encoding.UTF8.GetBytes(new XElement(root.Name, root.Attributes(), shared, part).ToString(SaveOptions.DisableFormatting)));
    }

    private static Mutate Tree(Edit edit) => (byte[] input, FuzzTarget target, ref Dice dice) =>
    {
        if (Parsed(input) is not { Root: XElement } document)
        {
            return input;
        }

        edit([.. document.Root.DescendantsAndSelf()], target, ref dice);
        return Encoding.UTF8.GetBytes(document.ToString(SaveOptions.DisableFormatting));
    };

    private static XDocument? Parsed(byte[] input)
    {
        try
        {
            var settings = new XmlReaderSettings { DtdProcessing = DtdProcessing.Ignore, XmlResolver = null };
            using var reader = XmlReader.Create(new MemoryStream(input), settings);
            return XDocument.Load(reader);
        }
        catch (XmlException)
        {
            return null;
        }
    }

    private static void Remove(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XElement chosen = dice.OneOf(elements);
        if (chosen.Parent is not null)
        {
            chosen.Remove();
        }
    }

    private static void Repeat(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XElement chosen = dice.OneOf(elements);
        for (int times = dice.Chance(8) ? dice.Below(50) : 1; times > 0 && chosen.Parent is not null; times--)
        {
            chosen.AddAfterSelf(new XElement(chosen));
        }
    }

    private static void Move(List<XElement> elements, FuzzTarget target, ref Dice dice) => dice.OneOf(elements).Add(new XElement(dice.OneOf(elements)));

    private static void Wrap(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XElement chosen = dice.OneOf(elements);
        if (chosen.Parent is not null)
        {
            chosen.ReplaceWith(new XElement(chosen.Name.Namespace + dice.OneOf(Holders), new XElement(chosen)));
        }
    }

    private static void Splice(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        if (Parsed(dice.OneOf(target.Seeds))?.Root is XElement other)
        {
            dice.OneOf(elements).Add(new XElement(dice.OneOf([.. other.DescendantsAndSelf()])));
        }
    }

    /// <summary>An element is named and used elsewhere, perhaps within itself.</summary>
    private static void Refer(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XElement used = dice.OneOf(elements);
        used.SetAttributeValue("id", used.Attribute("id")?.Value ?? "n" + dice.Below(4));
        XElement place = dice.OneOf(elements);
        place.Add(new XElement(place.Name.Namespace + "use", new XAttribute("href", "#" + used.Attribute("id")!.Value), new XAttribute("x", dice.Below(9))));
    }

    private static void SetAttribute(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        (string name, string values) = dice.OneOf(Attributes);
        dice.OneOf(elements).SetAttributeValue(name, dice.OneOf(values.Split(' ')));
    }

    private static void DropAttribute(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XAttribute[] attributes = [.. dice.OneOf(elements).Attributes().Where(attribute => !attribute.IsNamespaceDeclaration)];
        if (attributes.Length > 0)
        {
            dice.OneOf(attributes).Remove();
        }
    }

    private static void ChangePath(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XAttribute[] paths = [.. elements.Attributes("d")];
        if (paths.Length == 0)
        {
            return;
        }

        XAttribute path = dice.OneOf(paths);
        List<string> steps = [.. StepPattern().Matches(path.Value).Select(match => match.Value)];
        int chosen = dice.Below(steps.Count);
        switch (dice.Below(3))
        {
            case 0 when steps.Count > 0:
                steps.RemoveAt(chosen);
                break;
            case 1 when steps.Count > 0:
                steps.Insert(chosen, dice.OneOf(steps));
                break;
            default:
                steps.Insert(chosen, dice.OneOf(Steps));
                break;
        }

        path.Value = string.Concat(steps);
    }

    private static void Add(List<XElement> elements, FuzzTarget target, ref Dice dice)
    {
        XElement place = dice.OneOf(elements);
        var added = new XElement(place.Name.Namespace + dice.OneOf(Shapes));
        for (int i = dice.Below(8); i > 0; i--)
        {
            (string name, string values) = dice.OneOf(Attributes);
            added.SetAttributeValue(name, dice.OneOf(values.Split(' ')));
        }

        place.Add(added);
    }

    [GeneratedRegex("[A-DF-Za-df-z]?[^A-DF-Za-df-z]+|[A-DF-Za-df-z]")]
    private static partial Regex StepPattern();
}
