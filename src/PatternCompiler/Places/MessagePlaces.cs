using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Figures;

namespace PatternCompiler.Places;

/// <summary>
/// The one way by which messages about figures, strokes and records get their place: stages say which figure they mean, and here
/// the figure's layer and position are looked up and the drawing is asked. Nothing is kept with a figure, and nothing happens
/// until there is a message.
/// </summary>
internal sealed class MessagePlaces
{
    private const int MostAlso = 2;

    private readonly Dictionary<string, (FiguresDocument? Figures, (double X, double Y) Origin)> parts = new(StringComparer.Ordinal);
    private string current = "";
    private PlaceSearch? search;

    /// <summary>The drawings, where they are at hand.</summary>
    public DrawnPattern? Drawing
    {
        get;
        set
        {
            field = value;
            search = null;
        }
    }

    /// <summary>The figures that the numbers of messages count from now on; null where they are not at hand.</summary>
    public FiguresDocument? Figures
    {
        get => At(current).Figures;
        set => Enter(current, value, At(current).Origin);
    }

    /// <summary>What follows is about a write field.</summary>
    /// <param name="field">Its name; empty for the whole pattern.</param>
    /// <param name="figures">Its figures, or null.</param>
    /// <param name="origin">Where the origin of its figures, strokes and records lies in the pattern, in nanometres.</param>
    public void Enter(string field, FiguresDocument? figures, (double X, double Y) origin)
    {
        current = field;
        parts[field] = (figures, origin);
    }

    /// <summary>What follows is about the whole pattern again.</summary>
    public void Leave() => current = "";

    private (FiguresDocument? Figures, (double X, double Y) Origin) At(string field) => parts.GetValueOrDefault(field);

    /// <summary>A sink that passes messages on with their places.</summary>
    public DiagnosticSink Before(DiagnosticSink sink) => new(told => sink.Report(Complete(told)));

    /// <summary>Runs something whose errors get their places.</summary>
    public T Tell<T>(Func<T> run)
    {
        try
        {
            return run();
        }
        catch (CompileException fault) when (IsOpen(fault.Diagnostic))
        {
            throw new CompileException(Complete(fault.Diagnostic), fault);
        }
    }

    /// <summary>As above.</summary>
    public void Tell(Action run) => Tell(() =>
    {
        run();
        return true;
    });

    /// <summary>A message with its place; one that is about no figure, or has its place, as it is.</summary>
    public Diagnostic Complete(Diagnostic told) => told with { Place = Complete(told.Place) };

    /// <summary>A figure, stroke or record with its place; what has its place as it is.</summary>
    public SourcePlace Complete(SourcePlace told)
    {
        if (told.Item is not { IsComplete: false } item)
        {
            return told;
        }

        string field = item.Field ?? current;
        (FiguresDocument? counted, (double X, double Y) origin) = At(field);
        (double X, double Y)? inside = null;
        FigureKind? kind = null;
        string? layer = item.Layer;
        if (item.Kind == ItemKind.Figure && counted is { } figures && item.Number >= 0 && item.Number < figures.Figures.Count)
        {
            Figure figure = figures.Figures[(int)item.Number];
            layer = figures.Header.Layers[figure.Layer];
            kind = figure.Kind;
            (double innerX, double innerY) = FigureCorners.InnerPoint(figure);
            double nanometres = figures.Header.GridPicometres / 1000.0;
            inside = (innerX * nanometres, innerY * nanometres);
        }

        (double X, double Y)? at = item is { XNanometres: double x, YNanometres: double y } ? (x, y) : inside;
        if (at is (double atX, double atY))
        {
            item = item with { XNanometres = origin.X + atX, YNanometres = origin.Y + atY };
        }

        item = item with { Layer = layer, Field = field.Length > 0 ? field : null, IsComplete = true };
        SourcePlace place = told with { Item = item };
        return (inside ?? at) is (double findX, double findY) ? Drawn(place, item, origin.X + findX, origin.Y + findY, kind) : place;
    }

    private SourcePlace Drawn(SourcePlace place, ItemPlace item, double x, double y, FigureKind? kind)
    {
        if (Drawing is null)
        {
            return place;
        }

        search ??= new PlaceSearch(Drawing);
        DrawnHere here = search.At(x, y, item.Layer, kind);
        if (here.Places.Count == 0)
        {
            return place;
        }

        (SourcePlace first, string? layer) = here.Places[0];
        return first with
        {
            Entity = here.IsNear ? $"near {first.Entity}" : first.Entity,
            Item = item with
            {
                Layer = item.Layer == layer ? null : item.Layer,
                Also = [.. here.Places.Skip(1).Take(MostAlso).Select(other => other.Place)],
                More = Math.Max(0, here.Places.Count - 1 - MostAlso),
            },
        };
    }

    private static bool IsOpen(Diagnostic told) => told.Place.Item is { IsComplete: false };
}
