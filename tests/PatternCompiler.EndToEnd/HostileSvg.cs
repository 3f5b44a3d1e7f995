using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>SVG drawings that are damaged, or made to do harm.</summary>
internal static class HostileSvg
{
    private const string Head = "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1mm\" height=\"1mm\" viewBox=\"0 0 1000 1000\">\n";
    private const string Square = "<rect width=\"1\" height=\"1\"/>";

    public static IEnumerable<HostileDrawing> All =>
    [
        new("truncated.svg", ":2:32: error PC0401: the file is not well-formed XML: Unexpected end of file has occurred.", () => Utf8(Head + Square + "<g>")),
        new("not-a-number.svg", ":2:2 (rect): error PC0404: width=\"NaN\" is no length", Page("<rect width=\"NaN\" height=\"1\"/>")),
        new("1e300.svg", ":2:2 (rect): error PC0409: this shape lies beyond the grid of 0.1 nm", Page("<rect width=\"1e300\" height=\"1\"/>")),
        new("groups-10000-deep.svg", ":2:770: error PC0403: elements nest more than 256 deep", Page(string.Concat(Enumerable.Repeat("<g>", 10_000)))),
        new("copies-10000-deep.svg", " (use): error PC0403: copies nest more than 256 deep", Page(Copies("g", 10_000, 1))),
        new("copies-of-copies.svg", ": error PC0403: 'use' makes more than 500000 copies of elements; draw arrays in a text layout instead", Page(Copies("g", 12, 10))),
        new("symbols-of-symbols.svg", ": error PC0403: 'use' makes more than 500000 copies of elements", Page(Copies("symbol", 12, 10))),
        new("copies-of-nothing.svg", ": error PC0403: 'use' makes more than 500000 copies of elements", Page(Copies("g", 12, 10, ""))),
        new("copies-in-a-circle.svg", ":2:12 (use): error PC0408: the element \"b\" copies itself; remove this 'use'", Page("<g id=\"a\"><use href=\"#b\"/></g><g id=\"b\"><use href=\"#a\"/></g>")),
        new("copies-itself.svg", ":2:12 (use): error PC0408: the element \"a\" copies itself; remove this 'use'", Page("<g id=\"a\"><use href=\"#a\"/></g>")),
        new("entities-of-entities.svg", ":1:11: error PC0415: the document type declares entities, which are not accepted", () => Utf8(
            "<!DOCTYPE svg [<!ENTITY e0 \"ha\">" + string.Concat(Enumerable.Range(1, 12).Select(i => $"<!ENTITY e{i} \"{string.Concat(Enumerable.Repeat($"&e{i - 1};", 10))}\">")) + "]>" + Head + "<title>&e12;</title></svg>")),
        new("external-entity.svg", ":1:11: error PC0415: the document type declares entities, which are not accepted", () => Utf8("<!DOCTYPE svg [<!ENTITY e SYSTEM \"file:///etc/passwd\">]>" + Head + "<title>&e;</title></svg>")),
        new("entity-of-the-network.svg", ":1:11: error PC0415: the document type declares entities, which are not accepted", () => Utf8("<!DOCTYPE svg [<!ENTITY e SYSTEM \"http://192.0.2.1/e\">]>" + Head + "<title>&e;</title></svg>")),
        new("element-of-the-network.svg", ":2:2 (use): error PC0407: \"http://192.0.2.1/a.svg#b\" is in another file, which is not read", Page("<use href=\"http://192.0.2.1/a.svg#b\"/>")),
        new("utf-16.svg", ":2:32: error PC0401: the file is not well-formed XML", () => [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes("<?xml version=\"1.0\" encoding=\"UTF-16\"?>" + Head + Square + "<g>")]),
        new("comment-of-50-megabytes.svg", ":2: error PC0770: an attribute, a text or a comment here is longer than the 16777216 bytes that are allowed", () => Utf8(Head + "<!--" + new string('x', 50_000_000))),
        new("rules-20000.svg", ":3:2 (rect): error PC0404", () => Utf8(
            Head + "<style>" + string.Concat(Enumerable.Range(0, 20_000).Select(i => $"/**/.c{i}{{fill:red}}")) + "</style>\n<rect class=\"c19999\" width=\"x\"/></svg>")),
        new("gif.svg", ": error PC0702: this is a GIF picture, not a drawing", () => Utf8("GIF89a" + new string('x', 5000))),
    ];

    private static Func<byte[]> Page(string content) => () => Utf8(Head + content + "</svg>");

    private static byte[] Utf8(string text) => Encoding.UTF8.GetBytes(text);

    // Elements that each copy the one before, and the outermost copied.
    private static string Copies(string element, int count, int copies, string content = Square) =>
        $"<defs><{element} id=\"e0\">{content}</{element}>"
        + string.Concat(Enumerable.Range(1, count).Select(i => $"<{element} id=\"e{i}\">{string.Concat(Enumerable.Repeat($"<use href=\"#e{i - 1}\"/>", copies))}</{element}>"))
        + $"</defs><use href=\"#e{count}\"/>";
}
