using System.Collections.Immutable;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Pictures;

/// <summary>Pictures write fields: what each position of the stage reaches, the seams, the stage path, and the figures.</summary>
internal static class FieldPlanPicture
{
    /// <summary>Composes the picture.</summary>
    /// <param name="plan">The fields.</param>
    /// <param name="figures">The figures of each field, with its centre at the origin; empty where only the plan is known.</param>
    /// <param name="options">Size and title.</param>
    public static Scene Compose(FieldPlan plan, IReadOnlyList<FiguresDocument> figures, PictureOptions options)
    {
        double scale = plan.GridPicometres * 1e-3;
        var shapes = new DrawnShapes(options, figures.Count > 0 ? figures[0].Header.Layers : []);
        for (int i = 0; i < figures.Count; i++)
        {
            FiguresPicture.Announce(shapes, figures[i], OffsetOf(plan.Fields[i], scale));
        }

        foreach (WriteField field in plan.Fields)
        {
            shapes.Extend(ExtentOf(ReachOf(plan, field), scale));
        }

        shapes.ChooseFrame();
        for (int i = 0; i < figures.Count; i++)
        {
            FiguresPicture.Add(shapes, figures[i], OffsetOf(plan.Fields[i], scale));
        }

        string facts = FactText.Join(
            FactText.Count(plan.Fields.Length, "write field", "write fields"),
            $"each reaches {FactText.Size(new SceneExtent(0, 0, 2 * plan.HalfWidth * scale, 2 * plan.HalfHeight * scale))}",
            figures.Count > 0 ? FactText.Count(figures.Sum(document => (long)document.Figures.Count), "figure", "figures") : "");
        Scene scene = shapes.Compose(FactText.Join(options.Title, "write fields"), facts);
        return scene with
        {
            TintScale = figures.Count > 0 ? scene.TintScale : null,
            Batches = [.. scene.Batches, .. Overlay(plan, scale)],
            Legend =
            [
                .. scene.Legend,
                new LegendEntry(SceneRole.Boundary, 0, "reach of a field"),
                new LegendEntry(SceneRole.Seam, 0, "seam"),
                new LegendEntry(SceneRole.Jump, 0, "stage path"),
            ],
            Labels = [.. plan.Fields.Select(field => LabelOf(field, scale))],
        };
    }

    private static IEnumerable<SceneBatch> Overlay(FieldPlan plan, double scale)
    {
        var reach = new ScenePathBuilder();
        var seams = new ScenePathBuilder();
        var route = new ScenePathBuilder();
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            WriteField field = plan.Fields[i];
            AddRing(reach, ReachOf(plan, field), scale);
            AddRing(seams, field.Cell, scale);
            if (i > 0)
            {
                GridPoint from = plan.Fields[i - 1].Centre;
                route.AddSegment(from.X * scale, from.Y * scale, field.Centre.X * scale, field.Centre.Y * scale);
            }
        }

        yield return new SceneBatch(SceneRole.Boundary, 0, Palette.TintCount, reach.ToPath());
        yield return new SceneBatch(SceneRole.Seam, 0, Palette.TintCount, seams.ToPath());
        yield return new SceneBatch(SceneRole.Jump, 0, Palette.TintCount, route.ToPath());
        if (!plan.Fields.IsEmpty)
        {
            var start = new ScenePathBuilder();
            start.AddDot(plan.Fields[0].Centre.X * scale, plan.Fields[0].Centre.Y * scale);
            yield return new SceneBatch(SceneRole.Start, 0, Palette.TintCount, start.ToPath());
        }
    }

    private static SceneLabel LabelOf(WriteField field, double scale)
    {
        GridBox cell = field.Cell;
        double x = ((double)cell.XLeft + cell.XRight) / 2, y = cell.YBottom + (0.9 * ((double)cell.YTop - cell.YBottom));
        return new SceneLabel(x * scale, y * scale, field.Name, ((double)cell.XRight - cell.XLeft) * scale);
    }

    private static GridBox ReachOf(FieldPlan plan, WriteField field) => new(
        field.Centre.X - plan.HalfWidth, field.Centre.Y - plan.HalfHeight, field.Centre.X + plan.HalfWidth, field.Centre.Y + plan.HalfHeight);

    private static SceneExtent ExtentOf(GridBox box, double scale) => SceneExtent.Empty.With(box.XLeft * scale, box.YBottom * scale).With(box.XRight * scale, box.YTop * scale);

    private static ScenePoint OffsetOf(WriteField field, double scale) => new(field.Centre.X * scale, field.Centre.Y * scale);

    private static void AddRing(ScenePathBuilder path, GridBox box, double scale)
    {
        path.Add(box.XLeft * scale, box.YBottom * scale);
        path.Add(box.XRight * scale, box.YBottom * scale);
        path.Add(box.XRight * scale, box.YTop * scale);
        path.Add(box.XLeft * scale, box.YTop * scale);
        path.Add(box.XLeft * scale, box.YBottom * scale);
        path.EndPart();
    }
}
