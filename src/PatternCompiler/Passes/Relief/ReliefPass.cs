using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Layout;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Relief;

/// <summary>
/// Turns wanted heights into the dose factors of large areas that leave them, by the resist's response. What a place gets besides
/// from its neighbours is the proximity correction's business. Where the film is to go entirely (a negative resist: to stay), the
/// area is one like any other, at the base dose; where it is to stay as it was, it gets none.
/// </summary>
internal static class ReliefPass
{
    /// <summary>Runs the pass.</summary>
    /// <exception cref="CompileException">A number is no part of the film, or a line or dot is to have a height.</exception>
    public static FlatLayout Run(FlatLayout input, ReliefOptions options)
    {
        if (!input.Groups.Any(group => options.ByLayer.ContainsKey(input.LayerNames[group.Layer])))
        {
            return input;
        }

        FlatLayer[] groups = [.. input.Groups.Select(group => options.ByLayer.TryGetValue(input.LayerNames[group.Layer], out (LayerRelief Relief, double AreaDose) layer)
            ? Converted(input, group, layer.Relief, layer.AreaDose, options.Response)
            : group)];

        // Heights so close that one dose factor stands for both are one group: figures of a layer and dose factor do not overlap.
        return input with
        {
            Groups = [.. groups.GroupBy(group => (group.Layer, group.DoseFactor)).OrderBy(same => same.Key.Layer).ThenBy(same => same.Key.DoseFactor).Select(Merged)],
        };
    }

    private static FlatLayer Merged(IEnumerable<FlatLayer> same)
    {
        FlatLayer first = same.MinBy(group => group.Rank)!;
        if (same.Count() == 1)
        {
            return first;
        }

        var rings = new ContourSetBuilder();
        foreach (FlatLayer group in same)
        {
            rings.AddAll(group.Area);
        }

        return first with { Area = rings.ToContourSet() };
    }

    private static FlatLayer Converted(FlatLayout layout, FlatLayer group, LayerRelief relief, double areaDose, ResistResponse response)
    {
        string layer = layout.LayerNames[group.Layer];
        if (!group.Lines.IsEmpty || !group.Dots.IsEmpty)
        {
            GridPoint point = group.Lines.IsEmpty ? group.Dots[0] : group.Lines[0][0];
            throw new CompileException(
                ReliefCodes.NoArea,
                $"layer '{layer}' holds heights, and {(group.Lines.IsEmpty ? "a dot" : "a line without width")} at {At(layout, point)} has none",
                SourcePlace.OfPoint(layer, point.X * (layout.GridPicometres / 1000.0), point.Y * (layout.GridPicometres / 1000.0)),
                "draw it as an area, or on a layer of its own");
        }

        double remaining = Remaining(layout, group, layer, relief);
        bool isWhole = response.DoseLeaving(remaining) >= response.ClearingCoulombsPerSquareMetre;
        double dose = isWhole ? Math.Max(areaDose, response.ClearingCoulombsPerSquareMetre) : response.DoseLeaving(remaining);
        return group with
        {
            DoseFactor = DoseFactor.FromValue(dose / areaDose),
            Height = new WantedHeight(remaining, response.Tone == ResistTone.Positive ? isWhole : remaining > 0.5),
        };
    }

    private static double Remaining(FlatLayout layout, FlatLayer group, string layer, LayerRelief relief)
    {
        double value = group.DoseFactor.Value;
        if (relief.Height is double height)
        {
            return group.DoseFactor == DoseFactor.One ? height : throw new CompileException(
                ReliefCodes.TwoHeights,
                $"all of layer '{layer}' has the height {NumberText.Format(height)}, but the area at {At(layout, group.Area[0][0])} has a number of its own, {group.DoseFactor}",
                PlaceOf(layout, group),
                "take out the layer's 'height' and write 'values: heights', or take the number from the shape");
        }

        string word = relief.Values == ReliefValues.Heights ? "height" : "depth";
        return value <= 1 ? relief.Values == ReliefValues.Heights ? value : 1 - value : throw new CompileException(
            ReliefCodes.NoPartOfFilm,
            $"the area at {At(layout, group.Area[0][0])} on layer '{layer}' has the {word} {group.DoseFactor}, but the film is only 1 high",
            PlaceOf(layout, group),
            $"draw {word}s as parts of the film, from 0 to 1; numbers of arrays and of cells multiply those of shapes");
    }

    // Inside the first piece of the area, from the bottom.
    private static SourcePlace PlaceOf(FlatLayout layout, FlatLayer group)
    {
        Trapezoid[] pieces = TrapezoidDecomposition.Compute(group.Area);
        double nanometres = layout.GridPicometres / 1000.0;
        (double X, double Y) inner = pieces.Length == 0 ? (group.Area[0][0].X, group.Area[0][0].Y) : FigureCorners.InnerPoint(Figure.FromTrapezoid(group.Layer, group.DoseFactor, pieces[0]));
        return SourcePlace.OfPoint(layout.LayerNames[group.Layer], inner.X * nanometres, inner.Y * nanometres);
    }

    private static string At(FlatLayout layout, GridPoint point) =>
        $"({LengthText.Micrometres(point.X, layout.GridPicometres)}, {LengthText.Micrometres(point.Y, layout.GridPicometres)}) um";
}
