using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Layout;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Places;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Traces;

/// <summary>Writes and reads what outputs are traced back by; the format is described in README.md beside this file.</summary>
internal static class TraceFile
{
    private const string FirstLine = "places 1";
    private const string LayoutLine = "layout 1";
    private const int HashLength = 64;

    /// <summary>Writes a trace.</summary>
    public static void Write(Trace trace, Stream output)
    {
        using (var text = new StreamWriter(output, new UTF8Encoding(false), leaveOpen: true) { NewLine = "\n" })
        {
            text.WriteLine(FirstLine);
            foreach (TracedOutput file in trace.Outputs)
            {
                text.WriteLine(file.Field is null
                    ? $"output {file.Hash} {LayoutWriter.InQuotes(file.Name)}"
                    : string.Create(CultureInfo.InvariantCulture, $"output {file.Hash} {LayoutWriter.InQuotes(file.Name)} field {LayoutWriter.InQuotes(file.Field)} at {file.XFemtometres} {file.YFemtometres}"));
            }

            foreach ((string layer, ImmutableArray<string> origins) in trace.Drawing.Origins)
            {
                text.WriteLine($"made {LayoutWriter.InQuotes(layer)} from {string.Join(' ', origins.Select(LayoutWriter.InQuotes))}".TrimEnd());
            }
        }

        LayoutWriter.Write(trace.Drawing.Layout, output, withPlaces: true);
    }

    /// <summary>Reads a trace.</summary>
    /// <param name="input">The file.</param>
    /// <param name="name">Its name for messages.</param>
    /// <param name="limits">How long lines may be.</param>
    /// <param name="cancellation">Stops the reading.</param>
    /// <exception cref="CompileException">It is none, or is damaged.</exception>
    public static Trace Read(Stream input, string name, WorkLimits limits, CancellationToken cancellation)
    {
        var outputs = ImmutableArray.CreateBuilder<TracedOutput>();
        ImmutableSortedDictionary<string, ImmutableArray<string>> origins = ImmutableSortedDictionary.Create<string, ImmutableArray<string>>(StringComparer.Ordinal);
        var lines = new LineSource(input, name, limits);
        int read = 0;
        while (lines.TryRead(out ReadOnlySpan<byte> text))
        {
            read++;
            var scanner = new LineScanner(text, name, lines.Number);
            if (read == 1)
            {
                if (!text.SequenceEqual(Encoding.UTF8.GetBytes(FirstLine)))
                {
                    throw new CompileException(CommandCodes.NotPlaces, "this is no file of places", new SourcePlace(name), "name the file that 'patternc build --places' has written");
                }
            }
            else if (text.SequenceEqual(Encoding.UTF8.GetBytes(LayoutLine)))
            {
                var options = DrawingOptions.Default with { Limits = limits };
                LayoutDocument layout = LayoutReader.ReadRest(lines, name, options, cancellation);
                return new Trace(outputs.ToImmutable(), new DrawnPattern(layout, origins));
            }
            else
            {
                switch (Encoding.UTF8.GetString(scanner.TakeWord(withHyphens: false)))
                {
                    case "output":
                        outputs.Add(ReadOutput(ref scanner));
                        break;
                    case "made":
                        (string layer, ImmutableArray<string> from) = ReadMade(ref scanner);
                        origins = origins.SetItem(layer, from);
                        break;
                    default:
                        scanner.Position = 0;
                        throw scanner.Fault(CommandCodes.NotPlaces, "expected 'output', 'made' or 'layout 1'", 0, "write the file again with 'patternc build --places'");
                }
            }
        }

        throw new CompileException(CommandCodes.NotPlaces, read == 0 ? "the file is empty" : "the file ends before its layout", new SourcePlace(name), "write the file again with 'patternc build --places'");
    }

    private static TracedOutput ReadOutput(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string hash = scanner.TakeName("a SHA-256");
        if (hash.Length != HashLength)
        {
            throw scanner.Fault(CommandCodes.NotPlaces, "expected a SHA-256 of 64 digits", start, "write the file again with 'patternc build --places'");
        }

        string name = scanner.TakeQuoted("the name of an output in quotes");
        if (scanner.AtEnd)
        {
            return new(hash, name, null, 0, 0);
        }

        Expect(ref scanner, "field");
        string field = scanner.TakeQuoted("the name of a field in quotes");
        Expect(ref scanner, "at");
        long x = TakeFemtometres(ref scanner);
        long y = TakeFemtometres(ref scanner);
        scanner.ExpectEnd("the place of the field");
        return new(hash, name, field, x, y);
    }

    private static (string Layer, ImmutableArray<string> From) ReadMade(ref LineScanner scanner)
    {
        string layer = scanner.TakeQuoted("the name of a layer in quotes");
        Expect(ref scanner, "from");
        var from = ImmutableArray.CreateBuilder<string>();
        while (!scanner.AtEnd)
        {
            from.Add(scanner.TakeQuoted("the name of a layer in quotes"));
        }

        return (layer, from.ToImmutable());
    }

    private static void Expect(ref LineScanner scanner, string word)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        if (!Encoding.UTF8.GetString(scanner.TakeWord(withHyphens: false)).Equals(word, StringComparison.Ordinal))
        {
            scanner.Position = start;
            throw scanner.Unexpected($"'{word}'");
        }
    }

    private static long TakeFemtometres(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string text = scanner.TakeName("a whole number of femtometres");
        return long.TryParse(text, NumberStyles.AllowLeadingSign, CultureInfo.InvariantCulture, out long value)
            ? value
            : throw scanner.Fault(CommandCodes.NotPlaces, $"'{text}' is no whole number", start);
    }
}
