using PatternCompiler.Passes.Fill;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Joins what filling decided in one write field after another.</summary>
internal static class FieldFill
{
    /// <summary>Travels of a layer add up; a spacing is told as it was chosen first.</summary>
    public static FillReport Join(FillReport first, FillReport second) => new(
        [.. first.Spacings.Concat(second.Spacings).DistinctBy(choice => choice.Layer)],
        [.. first.Travels.Concat(second.Travels).GroupBy(travel => travel.Layer).Select(layer => new LayerTravel(
            layer.Key,
            layer.Sum(travel => travel.GivenNanometres),
            layer.Sum(travel => travel.OrderedNanometres),
            layer.Sum(travel => travel.LeastNanometres)))]);
}
