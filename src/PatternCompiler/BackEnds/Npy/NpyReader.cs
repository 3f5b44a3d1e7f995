using System.Buffers.Binary;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Npy;

/// <summary>Reads an array file that <see cref="NpyWriter"/> made back into dots and jumps. The machine has to be given.</summary>
internal static class NpyReader
{
    /// <summary>True if these are the first bytes (8 or more) of an array file.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => firstBytes.StartsWith(NpyFormat.Magic);

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the file was made.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The file is no such array, not of this machine, or cut short.</exception>
    public static void Read(
        Stream source,
        string name,
        RecordsHeader header,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CancellationToken cancellation)
    {
        var input = new CarrierInput(source);
        byte[] found = new byte[NpyFormat.HeaderBytes];
        if (input.ReadFully(found) < found.Length || !NpyFormat.TryRows(found, out long rows))
        {
            throw new CompileException(
                BackEndCodes.NotThisForm,
                "expected an array file with the columns x, y, ticks, beam and blank, found something else",
                new SourcePlace(name),
                "make it with patternc emit");
        }

        var joiner = new PointJoiner(sink, cancellation);
        joiner.Begin(header);
        var line = new BlankLine(header);
        byte[] row = new byte[NpyFormat.RowBytes];
        for (long i = 0; i < rows; i++)
        {
            long start = input.Position;
            if (input.ReadFully(row) < row.Length)
            {
                throw new CompileException(
                    BackEndCodes.Truncated,
                    $"the array states {rows} rows and stops after {i}",
                    new SourcePlace(name, Entity: $"byte {input.Position}"),
                    "emit it again; the stage or copy that wrote it did not finish");
            }

            int x = BinaryPrimitives.ReadInt32LittleEndian(row);
            int y = BinaryPrimitives.ReadInt32LittleEndian(row.AsSpan(NpyFormat.YOffset));
            long ticks = BinaryPrimitives.ReadInt64LittleEndian(row.AsSpan(NpyFormat.TicksOffset));
            if ((uint)x >= (uint)header.Dac.CodeCount || (uint)y >= (uint)header.Dac.CodeCount || ticks < 0 ||
                row[NpyFormat.BeamOffset] > 1 || row[NpyFormat.BlankOffset] > 1)
            {
                throw new CompileException(
                    BackEndCodes.NotOfThisMachine,
                    $"row {i} is x {x}, y {y}, {ticks} ticks, beam {row[NpyFormat.BeamOffset]}, blank {row[NpyFormat.BlankOffset]}: not of this converter",
                    new SourcePlace(name, Entity: $"byte {start}"),
                    "name the machine file with which the array was made");
            }

            bool isOn = row[NpyFormat.BeamOffset] == 1;
            bool isHigh = row[NpyFormat.BlankOffset] == 1;
            if (isHigh != line.IsHigh(isOn))
            {
                throw BlankLine.Mismatch(new SourcePlace(name, Entity: $"byte {start}"), header.BlankLevel, BlankLine.LevelOf(isOn, isHigh), $"row {i} is");
            }

            joiner.Add(new BeamPoint(x, y, ticks, isOn), mayContinue: false);
        }

        if (input.Read(row) != 0)
        {
            throw new CompileException(
                BackEndCodes.AfterEnd, "more bytes follow the last row", new SourcePlace(name), "give one array at a time");
        }

        if (joiner.IsOn)
        {
            throw BlankLine.EndsExposing(new SourcePlace(name), "the array");
        }

        joiner.End();
    }
}
