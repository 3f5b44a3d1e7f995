using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Pictures;

/// <summary>Pictures a figures document: every trapezoid, line and dot in its layer's colour, tinted by dose factor.</summary>
internal static class FiguresPicture
{
    /// <summary>Composes the picture.</summary>
    public static Scene Compose(FiguresDocument document, PictureOptions options)
    {
        var shapes = new DrawnShapes(options, document.Header.Layers);
        Announce(shapes, document, default);
        shapes.ChooseFrame();
        Add(shapes, document, default);
        string facts = FactText.Join(
            FactText.Count(document.Figures.Count, "figure", "figures"),
            FactText.Count(document.Header.Layers.Length, "layer", "layers"),
            FactText.Size(shapes.Extent));
        return shapes.Compose(FactText.Join(options.Title, "figures"), facts);
    }

    /// <summary>Announces the figures of a document whose origin stands at a place of the picture.</summary>
    internal static void Announce(DrawnShapes shapes, FiguresDocument document, ScenePoint origin)
    {
        double scale = document.Header.GridPicometres * 1e-3;
        foreach (Figure figure in document.Figures)
        {
            shapes.Extend(figure.Kind switch
            {
                FigureKind.Trapezoid => ExtentOf(CornersOf(figure, scale, origin)),
                _ => ExtentOf([PointOf(figure.Start, scale, origin), PointOf(figure.End, scale, origin)]),
            });
            shapes.AddDoseFactor(figure.DoseFactor);
            shapes.CountAreas(figure.Kind == FigureKind.Trapezoid ? 1 : 0);
        }
    }

    /// <summary>Adds them.</summary>
    internal static void Add(DrawnShapes shapes, FiguresDocument document, ScenePoint origin)
    {
        double scale = document.Header.GridPicometres * 1e-3;
        foreach (Figure figure in document.Figures)
        {
            switch (figure.Kind)
            {
                case FigureKind.Trapezoid:
                    shapes.AddArea(figure.Layer, figure.DoseFactor, CornersOf(figure, scale, origin));
                    break;
                case FigureKind.Line:
                    shapes.AddLine(figure.Layer, figure.DoseFactor, [PointOf(figure.Start, scale, origin), PointOf(figure.End, scale, origin)]);
                    break;
                default:
                    shapes.AddDot(figure.Layer, figure.DoseFactor, PointOf(figure.Start, scale, origin));
                    break;
            }
        }
    }

    private static ScenePoint PointOf(GridPoint point, double scale, ScenePoint origin) => new(point.X * scale + origin.X, point.Y * scale + origin.Y);

    private static ScenePoint[] CornersOf(in Figure figure, double scale, ScenePoint origin)
    {
        Trapezoid t = figure.Shape;
        ScenePoint[] corners =
        [
            At(t.Left, t.YBottom), At(t.Right, t.YBottom), At(t.Right, t.YTop), At(t.Left, t.YTop),
        ];
        if (figure.IsTransposed)
        {
            for (int i = 0; i < corners.Length; i++)
            {
                corners[i] = new ScenePoint(corners[i].Y, corners[i].X);
            }

            // Exchanging the axes turned the ring over.
            Array.Reverse(corners);
        }

        for (int i = 0; i < corners.Length; i++)
        {
            corners[i] = new ScenePoint(corners[i].X + origin.X, corners[i].Y + origin.Y);
        }

        return corners;

        ScenePoint At(GridEdge edge, int y)
        {
            long height = (long)edge.Upper.Y - edge.Lower.Y;
            double x = edge.IsVertical || height == 0
                ? edge.Lower.X
                : edge.Lower.X + ((double)y - edge.Lower.Y) / height * ((double)edge.Upper.X - edge.Lower.X);
            return new ScenePoint(x * scale, y * scale);
        }
    }

    private static SceneExtent ExtentOf(ReadOnlySpan<ScenePoint> corners)
    {
        SceneExtent extent = SceneExtent.Empty;
        foreach (ScenePoint corner in corners)
        {
            extent = extent.With(corner.X, corner.Y);
        }

        return extent;
    }
}
