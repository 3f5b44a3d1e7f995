using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Passes.Relief;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Relief;

public sealed class ReliefPassTests
{
    // Contrast 1/log10(4) = 1.66; doses in C/m², a base dose of 8.
    private static readonly ResistResponse Positive = new(ResistTone.Positive, 1, 4);
    private static readonly ResistResponse Negative = new(ResistTone.Negative, 1, 4);

    // The dose of a large area that changes the part c of the film: onset · (clearing/onset)^c, here 4^c, over the base dose of 8.
    [Theory]
    [InlineData(ResistTone.Positive, ReliefValues.Heights, 0.5, 0.25, false)]
    [InlineData(ResistTone.Positive, ReliefValues.Depths, 0.5, 0.25, false)]
    [InlineData(ResistTone.Positive, ReliefValues.Heights, 0.25, 0.353553, false)]
    [InlineData(ResistTone.Positive, ReliefValues.Depths, 0.25, 0.176777, false)]
    [InlineData(ResistTone.Positive, ReliefValues.Heights, 1, 0, false)]
    [InlineData(ResistTone.Positive, ReliefValues.Heights, 0, 1, true)]
    [InlineData(ResistTone.Positive, ReliefValues.Depths, 1, 1, true)]
    [InlineData(ResistTone.Negative, ReliefValues.Heights, 0.25, 0.176777, false)]
    [InlineData(ResistTone.Negative, ReliefValues.Heights, 0.75, 0.353553, true)]
    [InlineData(ResistTone.Negative, ReliefValues.Depths, 0.75, 0.176777, false)]
    [InlineData(ResistTone.Negative, ReliefValues.Heights, 0, 0, false)]
    [InlineData(ResistTone.Negative, ReliefValues.Heights, 1, 1, true)]
    public void Heights_become_the_doses_of_large_areas(ResistTone tone, ReliefValues values, double value, double factor, bool prints)
    {
        FlatLayer group = Run(tone == ResistTone.Positive ? Positive : Negative, new LayerRelief(values), Area(value)).Groups.Single();
        Assert.Equal(DoseFactor.FromValue(factor), group.DoseFactor);
        Assert.Equal(prints, group.Height!.Value.Prints);
        Assert.Equal(values == ReliefValues.Heights ? value : 1 - value, group.Height.Value.Remaining);
    }

    // A base dose that does not clear is raised to one that does, or 0 would leave a part of the film.
    [Fact]
    public void What_is_to_go_entirely_gets_at_least_the_clearing_dose() =>
        Assert.Equal(DoseFactor.FromValue(2), Run(Positive, new LayerRelief(ReliefValues.Heights), areaDose: 2, Area(0)).Groups.Single().DoseFactor);

    [Fact]
    public void A_layer_has_one_height_for_shapes_without_numbers() =>
        Assert.Equal(DoseFactor.FromValue(0.25), Run(Positive, new LayerRelief(ReliefValues.Heights, 0.5), Area(1)).Groups.Single().DoseFactor);

    [Fact]
    public void Groups_keep_their_order_by_dose_and_heights_of_one_dose_are_one_group()
    {
        FlatLayout flat = Run(Positive, new LayerRelief(ReliefValues.Heights), areaDose: 2000, Area(0.2), Area(0.5), Area(0.500001), Area(0.9));
        Assert.Equal([1, 2, 1], flat.Groups.Select(group => group.Area.Count));
        Assert.Equal(flat.Groups.Select(group => group.DoseFactor).Order().Distinct(), flat.Groups.Select(group => group.DoseFactor));
    }

    [Fact]
    public void Other_layers_keep_their_dose_factors()
    {
        var input = new FlatLayout(100, ["relief", "pads"], [Area(0.5), Area(1.25) with { Layer = 1 }]);
        FlatLayout flat = ReliefPass.Run(input, Options(Positive, new LayerRelief(ReliefValues.Heights), 8));
        Assert.Equal((DoseFactor.FromValue(1.25), null), (flat.Groups[1].DoseFactor, flat.Groups[1].Height));
    }

    [Fact]
    public void What_is_no_height_is_refused()
    {
        Assert.Equal(
            "layer relief at (1.5, 2.5) um: error PC1690: the area at (1, 2) um on layer 'relief' has the height 1.25, but the film is only 1 high; draw heights as parts of the film, from 0 to 1; numbers of arrays and of cells multiply those of shapes",
            Error(new LayerRelief(ReliefValues.Heights), Area(1.25)));
        Assert.Equal(
            "layer relief at (1.5, 2.5) um: error PC1690: the area at (1, 2) um on layer 'relief' has the depth 2, but the film is only 1 high; draw depths as parts of the film, from 0 to 1; numbers of arrays and of cells multiply those of shapes",
            Error(new LayerRelief(ReliefValues.Depths), Area(2)));
        Assert.Equal(
            "layer relief at (3, 4) um: error PC1691: layer 'relief' holds heights, and a line without width at (3, 4) um has none; draw it as an area, or on a layer of its own",
            Error(new LayerRelief(ReliefValues.Heights), Area(0.5) with { Lines = [[new GridPoint(30_000, 40_000), new GridPoint(50_000, 40_000)]] }));
        Assert.Equal(
            "layer relief at (5, 6) um: error PC1691: layer 'relief' holds heights, and a dot at (5, 6) um has none; draw it as an area, or on a layer of its own",
            Error(new LayerRelief(ReliefValues.Heights), Area(0.5) with { Dots = [new GridPoint(50_000, 60_000)] }));
        Assert.Equal(
            "layer relief at (1.5, 2.5) um: error PC1694: all of layer 'relief' has the height 0.4, but the area at (1, 2) um has a number of its own, 0.5; take out the layer's 'height' and write 'values: heights', or take the number from the shape",
            Error(new LayerRelief(ReliefValues.Heights, 0.4), Area(0.5)));
    }

    private static string Error(LayerRelief relief, FlatLayer area) =>
        Assert.Throws<CompileException>(() => Run(Positive, relief, area)).Diagnostic.ToString();

    private static FlatLayout Run(ResistResponse response, LayerRelief relief, params FlatLayer[] groups) => Run(response, relief, 8, groups);

    private static FlatLayout Run(ResistResponse response, LayerRelief relief, double areaDose, params FlatLayer[] groups) =>
        ReliefPass.Run(new FlatLayout(100, ["relief"], [.. groups]), Options(response, relief, areaDose));

    private static ReliefOptions Options(ResistResponse response, LayerRelief relief, double areaDose) =>
        new(response, ImmutableDictionary<string, (LayerRelief, double)>.Empty.Add("relief", (relief, areaDose)));

    private static FlatLayer Area(double value) => new(
        0,
        DoseFactor.FromValue(value),
        ContourSet.FromRing(new GridPoint(10_000, 20_000), new GridPoint(20_000, 20_000), new GridPoint(20_000, 30_000), new GridPoint(10_000, 30_000)),
        [],
        []);
}
