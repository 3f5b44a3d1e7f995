using PatternCompiler.FrontEnds.Dxf.Entities;
using PatternCompiler.Geometry;
using PatternCompiler.Geometry.Curves;
using PatternCompiler.Geometry.Regions;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.BackEnds.Drawing;

/// <summary>
/// Writes shapes as entities: outlines as closed polylines, areas with holes and rings as hatches with islands, paths as
/// polylines with a width. Nothing is rounded: a path that readers do not agree on, or
/// whose end would come off the grid, is written as its outline.
/// </summary>
/// <param name="dxf">Receives the entities.</param>
/// <param name="layers">Names of the layers, as written.</param>
/// <param name="flatten">Turns a shape into the area that it covers.</param>
/// <param name="limits">How many crossings are allowed.</param>
/// <param name="cancellation">Stops the work.</param>
internal sealed class DxfShapes(
    DxfOutput dxf, Func<int, string> layers, Func<Shape, PolygonShape?> flatten, WorkLimits limits, CancellationToken cancellation)
{
    private const int ExternalLoop = 1;
    private const int PolylineLoop = 2;
    private const int OutermostLoop = 16;
    private const double HalfCircleBulge = 1;

    /// <summary>Writes a shape.</summary>
    public void Write(Shape shape)
    {
        switch (shape)
        {
            case RectangleShape r:
                WriteRing(r.Layer, [new(r.XLeft, r.YBottom), new(r.XRight, r.YBottom), new(r.XRight, r.YTop), new(r.XLeft, r.YTop)]);
                break;
            case PolygonShape polygon:
                WritePolygon(polygon);
                break;
            case CircleShape circle:
                WriteCircle(circle.Layer, circle.Centre, circle.Radius);
                break;
            case RingShape ring:
                BeginHatch(ring.Layer, 2);
                WriteCircleLoop(ExternalLoop, ring.Centre, ring.OuterRadius);
                WriteCircleLoop(OutermostLoop, ring.Centre, ring.InnerRadius);
                EndHatch();
                break;
            case PathShape path:
                WritePath(path);
                break;
            case LineShape line:
                BeginPolyline(line.Layer, line.Points.Length, isClosed: false, 0);
                WriteCorners(line.Points.AsSpan());
                dxf.Text(1001, DxfMark.Application);
                dxf.Text(1000, DxfMark.Line);
                break;
            case DotShape dot:
                dxf.Entity("POINT", layers(dot.Layer), "AcDbPoint");
                dxf.Point(PlanePoint.From(dot.Position));
                break;
        }
    }

    private void WritePolygon(PolygonShape polygon)
    {
        if (HoleFreeRings.IsRing(polygon))
        {
            WriteRing(polygon.Layer, polygon.Contours[0]);
            return;
        }

        foreach (ContourSet part in AreaParts.Split(RegionBoolean.Merge(polygon.Contours, polygon.FillRule, 1, limits.At($"layer '{layers(polygon.Layer)}'"), cancellation)))
        {
            if (part.Count == 1)
            {
                WriteRing(polygon.Layer, part[0]);
                continue;
            }

            BeginHatch(polygon.Layer, part.Count);
            for (int i = 0; i < part.Count; i++)
            {
                BeginLoop(i == 0 ? ExternalLoop : OutermostLoop, part[i].Length, hasBulges: false);
                WriteCorners(part[i]);
                EndLoop();
            }

            EndHatch();
        }
    }

    private void WriteCircle(int layer, GridPoint centre, int radius)
    {
        dxf.Entity("CIRCLE", layers(layer), "AcDbCircle");
        dxf.Point(PlanePoint.From(centre));
        dxf.Length(40, radius);
    }

    private void WriteRing(int layer, ReadOnlySpan<GridPoint> ring)
    {
        BeginPolyline(layer, ring.Length, isClosed: true, 0);
        WriteCorners(ring);
    }

    private void WritePath(PathShape path)
    {
        if (!CommonPath.Is(path))
        {
            WriteOutline(path);
            return;
        }

        GridPoint[] points = [.. path.Points];
        if (path.End == PathEnd.Square)
        {
            if (Extended(points[1], points[0], path.Width) is { } first && Extended(points[^2], points[^1], path.Width) is { } last)
            {
                (points[0], points[^1]) = (first, last);
            }
            else
            {
                WriteOutline(path);
                return;
            }
        }

        BeginPolyline(path.Layer, points.Length, isClosed: false, path.Width);
        WriteCorners(points);
    }

    private void WriteOutline(PathShape path)
    {
        if (flatten(path) is { } outline)
        {
            WritePolygon(outline);
        }
    }

    // The end moved out by half the width, if it stays on the grid.
    private static GridPoint? Extended(GridPoint from, GridPoint to, int width)
    {
        bool isLevel = from.Y == to.Y && from.X != to.X;
        bool isUpright = from.X == to.X && from.Y != to.Y;
        if ((width & 1) != 0 || (!isLevel && !isUpright))
        {
            return null;
        }

        var moved = new GridPoint(
            to.X + (Math.Sign((long)to.X - from.X) * (width / 2)), to.Y + (Math.Sign((long)to.Y - from.Y) * (width / 2)));
        return moved.IsInRange ? moved : null;
    }

    private void BeginPolyline(int layer, int count, bool isClosed, int width)
    {
        dxf.Entity("LWPOLYLINE", layers(layer), "AcDbPolyline");
        dxf.Integer(90, count);
        dxf.Integer(70, isClosed ? 1 : 0);
        dxf.Length(43, width);
    }

    private void WriteCorners(ReadOnlySpan<GridPoint> corners)
    {
        foreach (GridPoint corner in corners)
        {
            dxf.Point(corner);
        }
    }

    private void BeginHatch(int layer, int loops)
    {
        dxf.Entity("HATCH", layers(layer), "AcDbHatch");
        dxf.Point(default(PlanePoint));
        dxf.Text(210, "0");
        dxf.Text(220, "0");
        dxf.Text(230, "1");
        dxf.Text(2, "SOLID");
        dxf.Integer(70, 1);
        dxf.Integer(71, 0);
        dxf.Integer(91, loops);
    }

    private void BeginLoop(int kind, int count, bool hasBulges)
    {
        dxf.Integer(92, kind | PolylineLoop);
        dxf.Integer(72, hasBulges ? 1 : 0);
        dxf.Integer(73, 1);
        dxf.Integer(93, count);
    }

    private void EndLoop() => dxf.Integer(97, 0);

    // Two half circles.
    private void WriteCircleLoop(int kind, GridPoint centre, int radius)
    {
        BeginLoop(kind, 2, hasBulges: true);
        foreach (int side in (int[])[-1, 1])
        {
            dxf.Length(10, centre.X + ((double)side * radius));
            dxf.Length(20, centre.Y);
            dxf.Real(42, HalfCircleBulge);
        }

        EndLoop();
    }

    // Islands within islands alternate; a solid fill needs no seed points.
    private void EndHatch()
    {
        dxf.Integer(75, 0);
        dxf.Integer(76, 1);
        dxf.Integer(98, 0);
    }
}
