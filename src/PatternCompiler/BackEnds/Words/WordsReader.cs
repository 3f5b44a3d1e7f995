using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Words;

/// <summary>Reads bare words back into dots and jumps. The words say nothing about the machine, so it has to be given.</summary>
internal static class WordsReader
{
    private const int PointsAtOnce = 4096;

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the words were made.</param>
    /// <param name="layout">The words, or null for the plain layout of the converter's width.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The words are not of this machine, or stop within a point.</exception>
    public static void Read(
        Stream source,
        string name,
        RecordsHeader header,
        WordLayout? layout,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CancellationToken cancellation)
    {
        layout ??= WordLayout.For(header.Dac);
        if (layout.FaultOf(header.Dac) is string layoutFault)
        {
            throw new CompileException(BackEndCodes.BadWordLayout, layoutFault, fix: "correct the word layout in the machine file");
        }

        var plan = new WordPlan(layout, header);
        var joiner = new PointJoiner(sink, cancellation);
        joiner.Begin(header);
        var input = new CarrierInput(source);
        int size = layout.BytesPerPoint;
        byte[] buffer = new byte[PointsAtOnce * size];
        bool mayContinue = false;
        while (true)
        {
            long start = input.Position;
            int count = input.ReadFully(buffer);
            for (int at = 0; at + size <= count; at += size)
            {
                if (plan.TryRead(buffer.AsSpan(at, size), out BeamPoint point, out bool isScanning) is string fault)
                {
                    throw new CompileException(
                        BackEndCodes.NotOfThisMachine,
                        fault,
                        new SourcePlace(name, Entity: $"byte {start + at}"),
                        "name the machine file with which the words were made");
                }

                // The scan-enable line goes down in a point of its own, which exposes nothing.
                if (!isScanning && !(plan.HasBlank && point.IsOn))
                {
                    continue;
                }

                joiner.Add(point, mayContinue);
                mayContinue = point.Ticks == Math.Max(plan.LongestDwell, 1);
            }

            if (count % size != 0)
            {
                throw new CompileException(
                    BackEndCodes.Truncated,
                    $"the words stop within a point of {size} bytes",
                    new SourcePlace(name, Entity: $"byte {start + count}"),
                    "emit them again, or name the machine file with which they were made");
            }

            if (count < buffer.Length)
            {
                if (plan.HasBlank && joiner.IsOn)
                {
                    throw BlankLine.EndsExposing(new SourcePlace(name), "the last word");
                }

                joiner.End();
                return;
            }
        }
    }
}
