using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Compilation;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Places;
using PatternCompiler.Reports.Player;

namespace PatternCompiler.Jobs.Report;

/// <summary>Gathers what a page plays while a run's documents pass.</summary>
/// <param name="settings">Machine, process and doses; null for records that come without.</param>
/// <param name="mostRecords">Number of records that are kept.</param>
/// <param name="mostFigures">Number of figures that are kept.</param>
internal sealed class PlayerWatcher(BuildSettings? settings, long mostRecords, int mostFigures) : ExposureWatcher
{
    // Each figure asks the shapes of its cell: more would take seconds.
    private const long MostLookups = 20_000_000;
    private readonly List<(int First, string Field, double X, double Y)> positions = [];
    private FiguresDocument? figures;

    /// <summary>The records.</summary>
    public PlayerRecords Columns { get; } = new(mostRecords, settings?.Machine.Link);

    /// <inheritdoc/>
    public override IDocumentSink<RecordsHeader, DeflectionRecord> Records => Columns;

    /// <inheritdoc/>
    public override void See(FiguresDocument figures) => this.figures = figures;

    /// <inheritdoc/>
    public override void Begin(StagePosition position)
    {
        (double x, double y) = (position.XFemtometres * 1e-6, position.YFemtometres * 1e-6);
        positions.Add((position.FirstFigure, position.Field?.Name ?? "", x, y));
        Columns.Place(position.Field?.Name ?? "", x, y, position.FirstFigure, position.MoveSeconds);
    }

    /// <summary>What the page holds.</summary>
    /// <param name="name">Name of what is shown.</param>
    /// <param name="places">Knows the drawing, if any.</param>
    /// <param name="messages">What was reported.</param>
    /// <param name="fileName">Makes names of files short; null leaves them.</param>
    public PlayerDocument ToDocument(string name, MessagePlaces? places, IEnumerable<Diagnostic> messages, Func<string, string>? fileName = null)
    {
        Machine? machine = settings?.Machine;
        var remarks = ImmutableArray.CreateBuilder<string>();
        if (settings?.Job.Alignment is not null)
        {
            remarks.Add("The beam goes where the layer lies on the one below; figures are where they were drawn.");
        }

        return new PlayerDocument(name, Columns)
        {
            Figures = figures is null ? null : FiguresOf(figures, places, fileName ?? (path => path), remarks),
            Beam = machine?.Beam,
            Messages = [.. messages.Where(told => told.Place.Item is { XNanometres: not null, YNanometres: not null })],
            Remarks = remarks.ToImmutable(),
        };
    }

    private PlayerFigures FiguresOf(FiguresDocument placed, MessagePlaces? places, Func<string, string> fileName, ImmutableArray<string>.Builder remarks)
    {
        FillOptions options = StageOptions.Fill(settings!.Job, settings.Machine, settings.Process);
        long shapes = places?.Drawing?.Layout.Cells.Sum(cell => (long)cell.Shapes.Length + cell.Instances.Length) ?? 0;
        bool isTraced = shapes > 0 && Math.Min(mostFigures, placed.Figures.Count) * shapes <= MostLookups;
        if (shapes > 0 && !isTraced)
        {
            remarks.Add("Figures do not name their place in the drawing: looking up so many would take long.");
        }

        return new PlayerFigures(OnPattern(placed), mostFigures, isTraced ? PlaceOf : _ => "")
        {
            BaseDoses =
            [
                .. placed.Header.Layers.Select(layer => options.DosesOf(options.LayerOf(layer)))
                    .Select(doses => (doses.AreaCoulombsPerSquareMetre * doses.Factor, doses.LineCoulombsPerMetre * doses.Factor, doses.DotCoulombs * doses.Factor)),
            ],
        };

        string PlaceOf(int number)
        {
            (int first, string field, _, _) = PositionOf(number);
            SourcePlace wanted = SourcePlace.OfFigure(number - first);
            SourcePlace place = places!.Complete(field.Length == 0 ? wanted : wanted with { Item = wanted.Item! with { Field = field } }).WithFiles(fileName);
            return place.File is null ? "" : (place with { Item = null }).ToString();
        }
    }

    private (int First, string Field, double X, double Y) PositionOf(int figure) => positions.FindLast(position => position.First <= figure);

    /// <summary>The figures of write fields where they lie on the pattern.</summary>
    private FiguresDocument OnPattern(FiguresDocument placed)
    {
        if (positions.TrueForAll(position => position is { X: 0, Y: 0 }))
        {
            return placed;
        }

        double steps = 1000.0 / placed.Header.GridPicometres;
        return placed with
        {
            Figures =
            [
                .. placed.Figures.Select((figure, number) =>
                {
                    (_, _, double x, double y) = PositionOf(number);
                    (int byX, int byY) = ((int)Math.Round(x * steps), (int)Math.Round(y * steps));
                    return figure with { Shape = figure.IsTransposed ? Moved(figure.Shape, byY, byX) : Moved(figure.Shape, byX, byY) };
                }),
            ],
        };

        static Geometry.Trapezoid Moved(Geometry.Trapezoid shape, int x, int y) => new(
            shape.YBottom + y, shape.YTop + y, Edge(shape.Left, x, y), Edge(shape.Right, x, y));

        static Geometry.GridEdge Edge(Geometry.GridEdge edge, int x, int y) =>
            new(new(edge.Lower.X + x, edge.Lower.Y + y), new(edge.Upper.X + x, edge.Upper.Y + y));
    }
}
