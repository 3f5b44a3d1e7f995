using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.VirtualLab.Truth;
using YamlDotNet.RepresentationModel;

namespace PatternCompiler.VirtualLab.Bench;

/// <summary>
/// A lab as a file describes it: a seed, what everybody in it knows, and the beams on offer. Truths are drawn around that, each beam's column by
/// dice of its own.
/// </summary>
public sealed class LabDescription
{
    private const double LargestShiftNanometres = 300;

    private readonly LabTruth truth;
    private readonly ImmutableArray<(string Name, ColumnTruth Column)> beams;

    /// <param name="seed">The seed.</param>
    /// <param name="setup">What is known; its current and spot are those of no beam.</param>
    /// <param name="beams">Beams on offer by their names, with current in picoamperes and spot in nanometres.</param>
    /// <param name="delaySeconds">Of the blanker, either way, as it was measured once.</param>
    /// <param name="settlingSeconds">Time constant of the deflection, likewise.</param>
    public LabDescription(long seed, LabSetup setup, IEnumerable<(string Name, double Picoamperes, double SpotNanometres)> beams, double delaySeconds, double settlingSeconds)
    {
        var drawn = LabTruth.Draw(seed, setup);
        truth = drawn with { Blanker = new BlankerTruth(delaySeconds, delaySeconds, 0, 0, 0), Field = drawn.Field with { TimeConstantSeconds = settlingSeconds } };
        this.beams =
        [
            .. beams.Select(beam => (
                beam.Name, LabTruth.Draw(seed, setup with { CurrentPicoamperes = beam.Picoamperes, SpotNanometres = beam.SpotNanometres }).Column with
                {
                    SpotNanometres = beam.SpotNanometres * new Dice(seed, "spot of beam " + beam.Name).Between(0.8, 1.4),
                    CurrentPicoamperes = beam.Picoamperes * new Dice(seed, "current of beam " + beam.Name).Between(0.99, 1.01),
                })),
        ];
    }

    private LabDescription(LabTruth truth, ImmutableArray<(string Name, ColumnTruth Column)> beams) => (this.truth, this.beams) = (truth, beams);

    /// <summary>The lab with one of its beams; the first where none is named.</summary>
    public LabTruth With(string? beam) => truth with { Column = beams.FirstOrDefault(known => beam is null || known.Name == beam) is { Column: { } column } ? column : throw Unknown(beam) };

    /// <summary>A mark that was damaged after it was written, and by how much it lies elsewhere, in nanometres; null if none was.</summary>
    public (double X, double Y, double ByX, double ByY)? Damaged { get; init; }

    /// <summary>The same lab with a resist that is as everybody knows it.</summary>
    public LabDescription Known(double onset, double lateral, LabSetup setup) => new(
        truth with
        {
            Resist = new ResistTruth(
                setup.IsNegative, setup.ThicknessNanometres, onset, setup.ClearingMicrocoulombs, 1, lateral,
                [new SpreadPart(setup.ForwardNanometres, 1), new SpreadPart(setup.BackscatterNanometres, setup.BackscatterRatio)]),
        },
        beams)
    {
        Damaged = Damaged,
    };

    /// <summary>Where another beam's image lies against that of the first, in nanometres: a change of the beam moves it a little.</summary>
    public (double X, double Y) ShiftOf(string? beam)
    {
        var dice = new Dice(truth.Seed, "image shift of beam " + beam);
        return beam is null || beam == beams[0].Name ? (0, 0) : (dice.Between(-LargestShiftNanometres, LargestShiftNanometres), dice.Between(-LargestShiftNanometres, LargestShiftNanometres));
    }

    /// <summary>Reads a file.</summary>
    public static LabDescription Read(string path)
    {
        var yaml = new YamlStream();
        using (StreamReader text = File.OpenText(path))
        {
            yaml.Load(text);
        }

        var root = (YamlMappingNode)yaml.Documents[0].RootNode;
        string Text(string key) => ((YamlScalarNode)root[key]).Value ?? "";
        double Number(string key) => NumberOf(root[key]);
        var setup = new LabSetup
        {
            IsNegative = Text("resist") switch { "negative" => true, "positive" => false, string other => throw new InvalidDataException($"'{other}' is no tone of a resist") },
            ThicknessNanometres = Number("film nm"),
            ClearingMicrocoulombs = Number("dose uC/cm2"),
            ForwardNanometres = Number("forward nm"),
            BackscatterNanometres = Number("backscatter nm"),
            BackscatterRatio = Number("backscatter ratio"),
            FieldNanometres = 1000 * Number("field um"),
            InvertY = Text("invert y") == "yes",
            Faults = Enum.Parse<LabFaults>(Text("faults"), ignoreCase: true),
        };
        var lab = new LabDescription(
            long.Parse(Text("seed"), CultureInfo.InvariantCulture),
            setup,
            ((YamlMappingNode)root["beams"]).Select(beam => (((YamlScalarNode)beam.Key).Value!, NumberOf(beam.Value["current pA"]), NumberOf(beam.Value["spot nm"]))),
            1e-6 * Number("blanker delays us"),
            1e-6 * Number("settling us"))
        {
            Damaged = root.Children.TryGetValue("damaged mark", out YamlNode? mark)
                ? (1000 * NumberOf(mark["x um"]), 1000 * NumberOf(mark["y um"]), NumberOf(mark["by x nm"]), NumberOf(mark["by y nm"]))
                : null,
        };
        return root.Children.ContainsKey("onset uC/cm2") ? lab.Known(Number("onset uC/cm2"), Number("lateral nm"), setup) : lab;
    }

    private static double NumberOf(YamlNode node) => double.Parse(((YamlScalarNode)node).Value!, NumberStyles.Float, CultureInfo.InvariantCulture);

    private InvalidDataException Unknown(string? beam) => new($"the lab has no beam '{beam}', only {string.Join(", ", beams.Select(known => known.Name))}");
}
