using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>Text layouts that are damaged, or made to do harm.</summary>
internal static class HostileTextLayouts
{
    private const string Head = "layout 1\nunit um\nlayer a\n";
    private const string Square = " rect on a from (0, 0) to (0.001, 0.001)\n";

    public static IEnumerable<HostileDrawing> All =>
    [
        new("truncated.layout", ":4:1: error PC0215: this 'cell' is never ended; add a line: end", Text("cell c\n" + Square)),
        new("not-a-number.layout", ":4:17: error PC0216: there is no parameter 'NaN'; did you mean 'tan'?", Text("rect on a from (NaN, 0) to (1, 1)\n")),
        new("1e300.layout", ":4:17: error PC0217: this number is too large; numbers have at most 28 digits before the point", Text("rect on a from (1e300, 0) to (1, 1)\n")),
        new("1e999999999.layout", ":4:17: error PC0217: this number is too large", Text("rect on a from (1e999999999, 0) to (1, 1)\n")),
        new("places-itself.layout", ":6:8: error PC0213: cell 'c' places itself; remove one of these placements", Text("cell c\n" + Square + " place c at (1, 1)\nend\nplace c at (0, 0)\n")),
        new("cells-10000-deep.layout", "error PC1023: cells nest more than 1000 deep, at cell 'c9001'; draw with fewer levels", Text(Cells(10_000, i => $" place c{i - 1} at (0, 0)\n")), "fracture"),
        new("brackets-10000-deep.layout", ":4:117: error PC0218: this formula is nested more than 100 deep; split it with: let name = ...", Text($"rect on a from ({new string('(', 10_000)}1{new string(')', 10_000)}, 0) to (1, 1)\n")),
        new("signs-100000-deep.layout", ":4:117: error PC0218: this formula is nested more than 100 deep", Text($"rect on a from ({new string('-', 100_000)}1, 0) to (1, 1)\n")),
        new("repeats-10000-deep.layout", ":36:1: error PC0218: repeats nest more than 32 deep; draw with fewer levels", Text(string.Concat(Enumerable.Repeat("repeat 1\n", 10_000)) + Square)),
        new("array-of-10^12.layout", "error PC1024: written out flat, this drawing has 4000000000000 points; 1000", Text(Cells(0, null) + "array c0 at (0, 0) columns 1000000 column-step 0.0001 rows 1000000 row-step 0.0001\n"), "fracture"),
        new("arrays-of-arrays.layout", "error PC1024: written out flat, this drawing has 4e+18 points; 1000", Text(Cells(3, i => $" array c{i - 1} at (0, 0) columns 1000 column-step 0.001 rows 1000 row-step 0.001\n")), "fracture"),
        new("repeat-of-10^12.layout", ":4:8: error PC0209: the number of repeats is a whole number from 0 to 2147483647", Text("repeat 1000000000000\n" + Square + "end\n")),
        new("repeats-of-repeats.layout", ":4:1: error PC0218: more than 2000000 statements are repeated", Text("repeat 1000000\nrepeat 1000000\n" + Square + "end\nend\n")),
        new("letters.layout", ":5:1: error PC0218: more than 500000 letters are drawn", Text($"repeat 1000\ntext \"{new string('A', 1000)}\" on a at (0, 0) height 1\nend\n")),
        new("includes-itself.layout", ":4:1: error PC0218: files include each other more than 16 deep; does a file include itself?", Text("include \"includes-itself.layout\"\n")),
        new("line-of-50-megabytes.layout", ":4: error PC0218: a line is longer than 16 MiB", () => Encoding.ASCII.GetBytes(Head + "rect" + new string(' ', 50_000_000))),
        new("utf-16.layout", ": error PC0702: this is UTF-16 text (save it as UTF-8), not a drawing", () => [.. Encoding.Unicode.GetPreamble(), .. Encoding.Unicode.GetBytes(Head)]),
    ];

    private static Func<byte[]> Text(string statements) => () => Encoding.UTF8.GetBytes(Head + statements);

    // A cell with a square, cells about it, and the outermost placed.
    private static string Cells(int count, Func<int, string>? content) =>
        "cell c0\n" + Square + "end\n" + string.Concat(Enumerable.Range(1, count).Select(i => $"cell c{i}\n{content!(i)}end\n"))
        + (count > 0 ? $"place c{count} at (0, 0)\n" : "");
}
