using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;

namespace PatternCompiler.VirtualLab.Bench;

/// <summary>
/// A sample between commands: a folder of the streams that were written on it, in their order, each named after the beam. Whoever looks at it
/// writes them again: same streams, same sample.
/// </summary>
public sealed class SampleFolder(LabDescription lab, string path)
{
    /// <summary>Writes a stream on it.</summary>
    /// <param name="stream">The stream.</param>
    /// <param name="beam">Name of a beam; the first of the lab if null.</param>
    /// <returns>How long it took, the charge, and the current that the ammeter showed before.</returns>
    public (double Seconds, double Femtocoulombs) Write(string stream, string? beam)
    {
        Directory.CreateDirectory(path);
        string kept = Path.Combine(path, FormattableString.Invariant($"{Streams.Length + 1}{(beam is null ? "" : "-" + beam)}.stream"));
        (Sample sample, double seconds) = Written(stream, beam, (0, 0));
        File.Copy(stream, kept);
        return (seconds, sample.Deposits.TotalFemtocoulombs);
    }

    /// <summary>All of it, as it lies in the resist.</summary>
    public Sample Read() => Read((0, 0));

    /// <summary>The same with all of it moved, in nanometres.</summary>
    public Sample Read((double X, double Y) moved) => Streams is { Length: > 0 } streams
        ? streams.Select(stream => Written(stream, BeamOf(stream), moved).Sample).Aggregate((all, next) => all.With(next))
        : throw new InvalidDataException($"nothing was written on '{path}'");

    private string[] Streams => Directory.Exists(path) ? [.. Directory.GetFiles(path, "*.stream").OrderBy(NumberOf)] : [];

    private static int NumberOf(string stream) => int.Parse(Path.GetFileNameWithoutExtension(stream).Split('-')[0], System.Globalization.CultureInfo.InvariantCulture);

    private static string? BeamOf(string stream) => Path.GetFileNameWithoutExtension(stream).Split('-') is [_, var beam] ? beam : null;

    private (Sample Sample, double Seconds) Written(string stream, string? beam, (double X, double Y) moved)
    {
        var laboratory = new Laboratory(lab.With(beam));
        (double shiftX, double shiftY) = lab.ShiftOf(beam);
        return (laboratory.WriteOn(new Writer.Deposits(), DecodedExposure.Read(stream), 0, (shiftX + moved.X, shiftY + moved.Y), out double seconds), seconds);
    }
}
