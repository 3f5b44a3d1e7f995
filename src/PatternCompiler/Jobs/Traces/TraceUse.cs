using System.Security.Cryptography;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Places;

namespace PatternCompiler.Jobs.Traces;

/// <summary>Lets messages about a document name the drawing, by the trace of the build that made the document.</summary>
internal static class TraceUse
{
    private const int MostNamed = 3;

    /// <summary>Checks that the document is of the trace's build, and tells where its origin lies.</summary>
    /// <param name="trace">The trace.</param>
    /// <param name="traceName">Its name for messages.</param>
    /// <param name="document">The document, from its beginning; it is read to its end.</param>
    /// <param name="documentName">Its name for messages.</param>
    /// <param name="places">Learns of it.</param>
    /// <exception cref="CompileException">The document is of another build.</exception>
    public static void Run(Trace trace, string traceName, Stream document, string documentName, MessagePlaces places)
    {
        string hash = Convert.ToHexStringLower(SHA256.HashData(document));
        TracedOutput? made = trace.Outputs.FirstOrDefault(output => output.Hash.Equals(hash, StringComparison.OrdinalIgnoreCase));
        if (made is null)
        {
            string[] names = [.. trace.Outputs.Take(MostNamed).Select(output => $"'{output.Name}'")];
            string more = trace.Outputs.Length > MostNamed ? $" and {trace.Outputs.Length - MostNamed} more" : "";
            throw new CompileException(
                CommandCodes.OtherPlaces,
                $"these places belong to {(names.Length == 0 ? "no outputs" : string.Join(", ", names) + more)}, and '{documentName}' is none of them as they were written",
                new SourcePlace(traceName),
                "build again with --places, and give the file that this build writes");
        }

        places.Drawing = trace.Drawing;
        const double NanometresPerFemtometre = 1e-6;
        places.Enter(made.Field ?? "", null, (made.XFemtometres * NanometresPerFemtometre, made.YFemtometres * NanometresPerFemtometre));
    }
}
