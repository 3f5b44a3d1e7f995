using System.Buffers.Binary;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Wave;

/// <summary>
/// Reads a sound file that <see cref="WaveWriter"/> made back into dots and jumps; equal frames that follow each other
/// are one record. It says nothing about the converter, so the machine has to be given.
/// </summary>
internal static class WaveReader
{
    private const int FramesAtOnce = 4096;

    /// <summary>True if these are the first bytes (8 or more) of a sound file.</summary>
    public static bool Recognises(ReadOnlySpan<byte> firstBytes) => firstBytes.Length >= 8 && firstBytes.StartsWith("RIFF"u8);

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the file was made.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <exception cref="CompileException">The file is no such sound file, not of this machine, or cut short.</exception>
    public static void Read(
        Stream source,
        string name,
        RecordsHeader header,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CancellationToken cancellation)
    {
        var input = new CarrierInput(source);
        byte[] found = new byte[WaveFormat.HeaderBytes];
        if (input.ReadFully(found) < found.Length || !Recognises(found))
        {
            throw new CompileException(
                BackEndCodes.NotThisForm, "expected a sound file, found something else", new SourcePlace(name), "make it with patternc emit");
        }

        uint riff = BinaryPrimitives.ReadUInt32LittleEndian(found.AsSpan(WaveFormat.RiffSizeOffset));
        uint data = BinaryPrimitives.ReadUInt32LittleEndian(found.AsSpan(WaveFormat.DataSizeOffset));
        byte[] expected = WaveFormat.Header(header.Dac, (uint)header.ClockHertz, 0);
        BinaryPrimitives.WriteUInt32LittleEndian(expected.AsSpan(WaveFormat.RiffSizeOffset), riff);
        BinaryPrimitives.WriteUInt32LittleEndian(expected.AsSpan(WaveFormat.DataSizeOffset), data);
        if (!expected.AsSpan().SequenceEqual(found))
        {
            uint rate = BinaryPrimitives.ReadUInt32LittleEndian(found.AsSpan(WaveFormat.RateOffset));
            throw new CompileException(
                BackEndCodes.NotOfThisMachine,
                $"expected {WaveFormat.Channels} channels of {8 * WaveFormat.SampleBytes(header.Dac)} bits at {header.ClockHertz} Hz, " +
                $"found {BinaryPrimitives.ReadUInt16LittleEndian(found.AsSpan(22))} of {BinaryPrimitives.ReadUInt16LittleEndian(found.AsSpan(34))} bits at {rate} Hz",
                new SourcePlace(name),
                "name the machine file with which the sound file was made");
        }

        var joiner = new PointJoiner(sink, cancellation);
        joiner.Begin(header);
        ReadFrames(input, name, header, data == WaveFormat.UnknownSize ? long.MaxValue : data, joiner);
        if (joiner.IsOn)
        {
            throw BlankLine.EndsExposing(new SourcePlace(name), "the sound file");
        }

        joiner.End();
    }

    private static void ReadFrames(CarrierInput input, string name, RecordsHeader header, long dataBytes, PointJoiner joiner)
    {
        int sampleBytes = WaveFormat.SampleBytes(header.Dac);
        int frame = WaveFormat.Channels * sampleBytes;
        int shift = 8 * sampleBytes - header.Dac.Bits;
        int half = header.Dac.CodeCount / 2;
        int largest = (1 << (8 * sampleBytes - 1)) - 1;
        var line = new BlankLine(header);
        byte[] buffer = new byte[FramesAtOnce * frame];
        long left = dataBytes;
        while (left > 0)
        {
            long start = input.Position;
            int wanted = (int)Math.Min(buffer.Length, left);
            int count = input.ReadFully(buffer.AsSpan(0, wanted));
            left -= count;
            for (int at = 0; at + frame <= count; at += frame)
            {
                int x = Sample(buffer.AsSpan(at), sampleBytes);
                int y = Sample(buffer.AsSpan(at + sampleBytes), sampleBytes);
                int blank = Sample(buffer.AsSpan(at + 2 * sampleBytes), sampleBytes);
                if ((x >> shift) << shift != x || (y >> shift) << shift != y || (blank != largest && blank != -largest - 1))
                {
                    throw new CompileException(
                        BackEndCodes.NotOfThisMachine,
                        "a sample is no code of the converter",
                        new SourcePlace(name, Entity: $"byte {start + at}"),
                        "name the machine file with which the sound file was made");
                }

                joiner.Add(new BeamPoint((x >> shift) + half, (y >> shift) + half, 1, line.IsOn(blank == largest)), mayContinue: true);
            }

            bool isUnknown = dataBytes == long.MaxValue;
            if (count < wanted && (!isUnknown || count % frame > 1))
            {
                throw new CompileException(
                    BackEndCodes.Truncated,
                    "the sound file stops before its end",
                    new SourcePlace(name, Entity: $"byte {start + count}"),
                    "emit it again; the stage or copy that wrote it did not finish");
            }

            if (count < wanted)
            {
                return;
            }
        }
    }

    private static int Sample(ReadOnlySpan<byte> bytes, int sampleBytes) => sampleBytes == sizeof(short)
        ? BinaryPrimitives.ReadInt16LittleEndian(bytes)
        : (bytes[0] | (bytes[1] << 8) | ((sbyte)bytes[2] << 16));
}
