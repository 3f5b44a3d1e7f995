using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Flatten;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Compares nets with a drawing and with a print. Areas of all layers hang together where they overlap or share an edge.</summary>
internal static class NetCheck
{
    /// <summary>Checks that every net hangs together as it is drawn, and that no two nets do.</summary>
    /// <exception cref="CompileException">They do not, or a point lies where nothing is drawn.</exception>
    public static void RequireDrawn(FlatLayout layout, ImmutableArray<Net> nets, WorkLimits limits, CancellationToken cancellation)
    {
        if (nets.IsEmpty)
        {
            return;
        }

        ContourSet drawn = DrawnPattern.Of(layout, null, limits, cancellation).Areas;
        int[][] areas = AreasOf(drawn, layout.GridPicometres, nets);
        var owners = new Dictionary<int, Net>();
        for (int n = 0; n < nets.Length; n++)
        {
            Net net = nets[n];
            for (int p = 0; p < net.Points.Length; p++)
            {
                NetPoint point = net.Points[p];
                if (areas[n][p] < 0)
                {
                    throw new CompileException(
                        JobCodes.NetOnBareArea, $"the net '{net.Name}' names {Text(point)}, where no area is drawn", point.Place, NearestArea.Describe(layout, point));
                }

                if (areas[n][p] != areas[n][0])
                {
                    throw new CompileException(
                        JobCodes.NetDrawnOpen,
                        $"the net '{net.Name}' does not hang together: no drawn area leads from {Text(net.Points[0])} to {Text(point)}",
                        point.Place,
                        "fix the drawing, or make it two nets");
                }
            }

            if (!owners.TryAdd(areas[n][0], net))
            {
                Net other = owners[areas[n][0]];
                throw new CompileException(
                    JobCodes.NetsDrawnJoined,
                    $"the nets '{other.Name}' and '{net.Name}' are drawn as one: a drawn area leads from {Text(other.Points[0])} to {Text(net.Points[0])}",
                    net.Points[0].Place,
                    "fix the drawing, or make them one net");
            }
        }
    }

    /// <summary>What becomes of nets in print.</summary>
    /// <param name="printed">Printed outlines, the printed area on their left.</param>
    /// <param name="gridPicometres">Their grid.</param>
    /// <param name="nets">The nets.</param>
    public static ImmutableArray<NetVerdict> Judge(ContourSet printed, long gridPicometres, ImmutableArray<Net> nets)
    {
        int[][] areas = AreasOf(printed, gridPicometres, nets);
        return
        [
            .. nets.Select((net, n) => new NetVerdict(
                net.Name,
                areas[n].Where(area => area >= 0).Distinct().Count(),
                areas[n].Count(area => area < 0),
                [.. nets.Where((_, other) => other != n && areas[other].Any(area => area >= 0 && areas[n].Contains(area))).Select(other => other.Name)])),
        ];
    }

    /// <summary>The area of each point, named by its outer ring; −1 outside every area.</summary>
    private static int[][] AreasOf(ContourSet rings, long gridPicometres, ImmutableArray<Net> nets) =>
    [
        .. nets.Select(net =>
        {
            GridPoint[] points = [.. net.Points.Select(point => new GridPoint(OnGrid(point.XNanometres, gridPicometres), OnGrid(point.YNanometres, gridPicometres)))];
            int[] found = RingLocator.Innermost(rings, points);
            return Array.ConvertAll(found, ring => ring >= 0 && ExactArea.Twice(rings[ring]) > 0 ? ring : -1);
        }),
    ];

    private static int OnGrid(double nanometres, long gridPicometres) =>
        (int)Math.Clamp(Math.Round(nanometres * 1000 / gridPicometres), -GridPoint.Limit, GridPoint.Limit);

    internal static string Text(NetPoint point) =>
        $"({NumberText.Format(Math.Round(point.XNanometres / 1000, 6))}, {NumberText.Format(Math.Round(point.YNanometres / 1000, 6))}) um";
}

/// <summary>What becomes of a net in print.</summary>
/// <param name="Name">The net.</param>
/// <param name="Parts">Printed areas that its points lie on; one if it holds together.</param>
/// <param name="BarePoints">Points on which nothing prints.</param>
/// <param name="JoinedWith">Nets that print in one with it.</param>
internal sealed record NetVerdict(string Name, int Parts, int BarePoints, ImmutableArray<string> JoinedWith)
{
    /// <summary>It holds together and stands apart.</summary>
    public bool IsSound => Parts == 1 && BarePoints == 0 && JoinedWith.IsEmpty;
}

/// <summary>Points that must hang together, drawn and printed, and stay apart from those of every other net.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Points">One point or more.</param>
public sealed record Net(string Name, ImmutableArray<NetPoint> Points);

/// <summary>A point of a net, where the pattern stands in the field.</summary>
/// <param name="XNanometres">To the right.</param>
/// <param name="YNanometres">Upward.</param>
/// <param name="Place">Where it is named.</param>
public readonly record struct NetPoint(double XNanometres, double YNanometres, SourcePlace Place);
