using System.Collections.Immutable;
using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Measure.Micrographs;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Looks;

/// <summary>Samples of a detector, one for each point of a look in its order, as the picture of each window.</summary>
internal static class LookSamples
{
    /// <summary>Pictures of the windows, in the order of the marks.</summary>
    /// <param name="look">The look.</param>
    /// <param name="table">A table with a column 'sample'.</param>
    /// <param name="name">Its file, for messages.</param>
    /// <exception cref="CompileException">There are not as many samples as points.</exception>
    public static ImmutableArray<Micrograph> PicturesOf(LookSettings look, MeasurementTable table, string name)
    {
        double[] samples = table.Column("sample", Unit.One);
        if (samples.Length != look.AllPoints)
        {
            throw new CompileException(
                LookCodes.SampleCount,
                $"the table has {CountText.Of(samples.Length, "sample", "samples")}, and the look has {look.AllPoints} points ({CountText.Of(look.Marks.Length, "window", "windows")} of {look.Points} x {look.Points})",
                new SourcePlace(name),
                samples.Length < look.AllPoints
                    ? "record while the scan-enable line is up, one sample a point; the job must be the one that the look was made with"
                    : "record only while the scan-enable line is up and the beam is on, one sample a point; the job must be the one that the look was made with");
        }

        int each = look.Points * look.Points;
        return
        [
            .. look.Marks.Select((_, window) => new Micrograph(
                look.Points, look.Points, samples.AsSpan(window * each, each).ToArray().Select(sample => (float)sample).ToArray(), 0, look.StepNanometres)),
        ];
    }
}
