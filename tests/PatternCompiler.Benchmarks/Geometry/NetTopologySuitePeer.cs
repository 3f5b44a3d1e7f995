using NetTopologySuite.Geometries;
using NetTopologySuite.Operation.Buffer;
using NetTopologySuite.Operation.OverlayNG;
using PatternCompiler.Geometry;

namespace PatternCompiler.Benchmarks.Geometry;

/// <summary>NetTopologySuite on a workload of valid rings, holes following their outline.</summary>
internal static class NetTopologySuitePeer
{
    /// <summary>Makes the union's input outside the timed part.</summary>
    public static Func<object> Union(ContourSet rings)
    {
        MultiPolygon all = Polygons(rings);
        return () => UnaryUnionNG.Union((NetTopologySuite.Geometries.Geometry)all, all.PrecisionModel);
    }

    /// <summary>Offset of what the union gave, mitred.</summary>
    public static Func<object> Offset(object merged, double distance)
    {
        var parameters = new BufferParameters(8, EndCapStyle.Flat, JoinStyle.Mitre, 5);
        return () => BufferOp.Buffer((NetTopologySuite.Geometries.Geometry)merged, distance, parameters);
    }

    private static MultiPolygon Polygons(ContourSet rings)
    {
        var factory = new GeometryFactory(new PrecisionModel(1));
        var polygons = new List<Polygon>();
        LinearRing? shell = null;
        var holes = new List<LinearRing>();
        for (int r = 0; r < rings.Count; r++)
        {
            var points = new Coordinate[rings[r].Length + 1];
            for (int i = 0; i < points.Length; i++)
            {
                GridPoint p = rings[r][i % rings[r].Length];
                points[i] = new Coordinate(p.X, p.Y);
            }

            LinearRing ring = factory.CreateLinearRing(points);
            if (ExactArea.Twice(rings[r]) < 0)
            {
                holes.Add(ring);
                continue;
            }

            Finish();
            shell = ring;
        }

        Finish();
        return factory.CreateMultiPolygon([.. polygons]);

        void Finish()
        {
            if (shell is not null)
            {
                polygons.Add(factory.CreatePolygon(shell, [.. holes]));
                holes.Clear();
            }
        }
    }
}
