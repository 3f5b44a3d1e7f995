using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.FrontEnds.Dxf.Curves;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>Tells the user what the joining of loose pieces did, in the coordinates of the drawing.</summary>
internal static class ChainReport
{
    private const int MostListed = 10;
    private const double NearMissNanometres = 100;

    /// <summary>Distance of two loose ends, in grid steps, up to which they are listed as nearly meeting.</summary>
    public static int NearMissReach(LoweringContext context) =>
        (int)Math.Ceiling(NearMissNanometres * 1000 / context.Options.GridPicometres);

    /// <summary>Reports; open outlines are an error if the options say so.</summary>
    public static void Report(ChainResult result, LoweringContext context, in Placement placement, string layer)
    {
        if (result.RedundantCount > 0)
        {
            context.Sink.Note(DxfCodes.RedundantPieces,
                $"dropped {CountText.Of(result.RedundantCount, $"line on layer {layer} that has no length or is drawn twice", $"lines on layer {layer} that have no length or are drawn twice, the first one here")}",
                result.FirstRedundant.Place(context.File));
        }

        if (result.GapCount > 0)
        {
            context.Sink.Note(DxfCodes.GapsJoined,
                $"closed {CountText.Of(result.GapCount, "gap", "gaps")} on layer {layer}, the largest of {Length(result.LargestGap, context)} at {At(result.LargestGapAt, context, placement)}",
                result.LargestGapOrigin.Place(context.File));
        }

        foreach ((GridPoint point, var origin) in result.Branches.Take(MostListed))
        {
            context.Sink.Warn(DxfCodes.Branch,
                $"an odd number of line ends meet at {At(point, context, placement)} on layer {layer}; which outline is meant is a guess",
                origin.Place(context.File), "draw closed polylines");
        }

        foreach (NearMiss miss in result.NearMisses.Take(MostListed))
        {
            context.Sink.Warn(DxfCodes.NearMiss,
                $"the end at {At(miss.Second, context, placement)} misses the one at {At(miss.First, context, placement)} ({miss.FirstOrigin}) by {Length(miss.Distance, context)}",
                miss.SecondOrigin.Place(context.File), "move them together or allow a larger joining gap");
        }

        if (result.NearMisses.Count > MostListed || result.Branches.Count > MostListed)
        {
            context.Sink.Warn(DxfCodes.NearMiss,
                $"layer {layer} has {CountText.Of(result.NearMisses.Count, "near miss", "near misses")} and {CountText.Of(result.Branches.Count, "branch", "branches")} in all; {MostListed} of each are listed",
                new(context.File));
        }

        if (result.Open.Count > 0)
        {
            OpenChain first = result.Open[0];
            string what = $"layer {layer} has {CountText.Of(result.Open.Count, "open outline", "open outlines")}, the first from {At(first.Points[0], context, placement)} to {At(first.Points[^1], context, placement)}";
            if (context.Options.OpenOutlines == OpenOutlines.AsError)
            {
                throw new CompileException(DxfCodes.OpenOutline, what, first.Start.Place(context.File),
                    "close it, allow a larger joining gap, or have open outlines written as lines");
            }

            context.Sink.Note(DxfCodes.OpenAsLines, what + "; written as single lines without width", first.Start.Place(context.File), count: result.Open.Count);
        }
    }

    /// <summary>A point in drawing units, for example "(12.5, -3) mm".</summary>
    public static string Coordinates(PlanePoint point, DxfUnit unit) =>
        $"({point.X.ToString("G9", CultureInfo.InvariantCulture)}, {point.Y.ToString("G9", CultureInfo.InvariantCulture)}) {unit.Symbol}";

    private static string At(GridPoint point, LoweringContext context, in Placement placement) =>
        Coordinates(placement.Undo(PlanePoint.From(point)), context.Unit);

    private static string Length(double steps, LoweringContext context) =>
        (steps * context.Options.GridPicometres / 1000).ToString("G4", CultureInfo.InvariantCulture) + " nm";
}
