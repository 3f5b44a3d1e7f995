using System.Text.RegularExpressions;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;

namespace PatternCompiler.Oracles.Lab;

/// <summary>
/// The dose test among the examples in the lab that its readings come from: a resist that starts to thin at 118 and clears at
/// 268 uC/cm2, whose developer moves edges by 6 nm.
/// </summary>
public sealed partial class ExampleDoseTestTests
{
    private static readonly LabTruth Truth = LabTruth.Draw(1, new LabSetup { Faults = LabFaults.None }) with
    {
        Column = new ColumnTruth(200, 0, 20, 0, 0, 50, 0, 0, 0),
        Resist = new ResistTruth(false, 500, 118, 268, 1, 6, [new SpreadPart(59, 1), new SpreadPart(4000, 0.74)]),
    };

    private static string Example(string name) => OutsidePrograms.Corpus("..", "..", "examples", "dose-test", name);

    [Fact]
    public void Its_readings_are_the_meters()
    {
        Sample sample = new Laboratory(Truth).Write(DecodedExposure.Read(CompiledExposure.Of(Example("job.yaml"))));
        string table = new DoseTestExposure().Table(sample, new Meter(new Dice(1, "example")));
        Assert.Equal(string.Join('\n', File.ReadAllLines(Example("readings.csv")).Where(line => !line.StartsWith('#'))) + "\n", table);
    }

    // Within 20 nm for pad and bar alone, by what the file says, not by what the resist is.
    [Fact]
    public void Its_fitted_process_prints_pad_and_bar_as_drawn()
    {
        Sample sample = new Laboratory(Truth).Write(DecodedExposure.Read(CompiledExposure.Of(Example("check-job.yaml"))));
        var places = Rectangle().Matches(File.ReadAllText(Example("check.layout"))).Select(match => Enumerable.Range(1, 4).Select(i => 1000 * double.Parse(match.Groups[i].Value, System.Globalization.CultureInfo.InvariantCulture)).ToArray()).ToArray();
        Assert.Equal(7, places.Length);
        foreach (double[] place in places)
        {
            (double x, double y, double width) = ((place[0] + place[2]) / 2, (place[1] + place[3]) / 2, place[2] - place[0]);
            DevelopedFilm film = sample.Develop(SampleWindow.Around(x, y, width + 800, 400));
            double printed = new Meter(new Dice(0, "verdict"), 0, 0).Width(film, x, y, isAlongX: true, (width / 2) + 380)!.Value;
            Assert.Equal(width, printed, 10.0);
        }
    }

    [GeneratedRegex(@"rect on \S+ from \((\S+), (\S+)\) to \((\S+), (\S+)\)")]
    private static partial Regex Rectangle();
}
