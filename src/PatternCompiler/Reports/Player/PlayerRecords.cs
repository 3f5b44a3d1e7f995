using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Prediction.Estimate;

namespace PatternCompiler.Reports.Player;

/// <summary>
/// Keeps records as columns for a page that plays them, and the waits for the link between them. Beyond a number of records the rest is
/// counted only, and the page says so.
/// </summary>
/// <param name="most">Number of records that are kept.</param>
/// <param name="link">The link and the controller's buffer, whose waits are shown; null if they are not known.</param>
internal sealed class PlayerRecords(long most, Link? link) : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private const int Kinds = 6;

    // A browser reads a block in some 10 ms, and draws between two.
    private const int RecordsInBlock = 8192;
    private readonly List<PlayerPart> parts = [];
    private readonly List<PlayerPause> pauses = [];
    private readonly PlayerBlocks blocks = new();
    private readonly long[] ticksOfKind = new long[Kinds];
    private LinkTrace? trace;
    private StreamSize? stream;
    private (string Name, double X, double Y, int FirstFigure, double MoveSeconds) next = ("", 0, 0, 0, 0);
    private SamplePlane plane;
    private long firstFigure;
    private long figure = -1;
    private int x;
    private int y;
    private int points;

    /// <summary>Kind of each record.</summary>
    public ByteColumn Kind { get; } = new();

    /// <summary>Code that a jump, dot or line begins with, less that of where the beam was; for X, then for Y.</summary>
    public ByteColumn Start { get; } = new();

    /// <summary>Code that a line ends with, less that of its start; for X, then for Y.</summary>
    public ByteColumn Reach { get; } = new();

    /// <summary>Points of a line, less those of the line before.</summary>
    public ByteColumn Points { get; } = new();

    /// <summary>Ticks, less those of the record of that kind before; a marker's number likewise.</summary>
    public ByteColumn Ticks { get; } = new();

    /// <summary>Ends of the columns behind each block of records.</summary>
    public PlayerBlocks Blocks => Kept % RecordsInBlock == 0 ? blocks : blocks.With(Columns);

    /// <summary>The columns: kind, start, reach, points, ticks.</summary>
    public IReadOnlyList<ByteColumn> Columns => [Kind, Start, Reach, Points, Ticks];

    /// <summary>Where the kept records expose, in nanometres on the pattern.</summary>
    public PlayerExtent Extent { get; } = new();

    /// <summary>Records that were kept.</summary>
    public long Kept { get; private set; }

    /// <summary>Records altogether.</summary>
    public long Total { get; private set; }

    /// <summary>What is written from one position of the stage each.</summary>
    public IReadOnlyList<PlayerPart> Parts => parts;

    /// <summary>Waits between records that are no records: for the link.</summary>
    public IReadOnlyList<PlayerPause> Pauses => pauses;

    /// <summary>Where the records that follow have their origin, in nanometres, the number of their first figure, and the move of the stage that leads there.</summary>
    public void Place(string name, double x, double y, int firstFigure, double moveSeconds) => next = (name, x, y, firstFigure, moveSeconds);

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        parts.Add(new PlayerPart(Total, next.Name, header, next.X, next.Y, next.FirstFigure, next.MoveSeconds));
        plane = new SamplePlane(header);
        firstFigure = next.FirstFigure;
        figure = -1;
        if (link is null)
        {
            return;
        }

        if (stream is not null)
        {
            stream.BeginStream();
            return;
        }

        trace = new LinkTrace(link, header.ClockHertz) { Stalled = (place, seconds) => AddStall(place.Record, seconds) };
        stream = new StreamSize(header, link.InterpolatesLines ? BackEnds.ExposureStream.StreamProfile.Lines : BackEnds.ExposureStream.StreamProfile.Points, trace);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            figure = record.Kind == RecordKind.Marker ? record.Ticks + firstFigure : figure;
            if (stream is not null)
            {
                (double nmX, double nmY) = plane.PlaceOf(record.EndX, record.EndY);
                stream.Add(record, record.TimedTicks, new BlockStart(Total, figure, nmX, nmY));
            }

            Total++;
            if (Kept < most)
            {
                Kept++;
                Keep(record);
                if (Kept % RecordsInBlock == 0)
                {
                    blocks.Add(Columns);
                }
            }
        }
    }

    void IDocumentSink<RecordsHeader, DeflectionRecord>.End() => stream?.End();

    private void AddStall(long record, double seconds)
    {
        if (record < most)
        {
            pauses.Add(new PlayerPause(record, seconds));
        }
    }

    private void Keep(in DeflectionRecord record)
    {
        Kind.AddByte((byte)record.Kind);
        long before = ticksOfKind[(int)record.Kind];
        Ticks.AddDifference(record.Ticks - before);
        ticksOfKind[(int)record.Kind] = record.Ticks;
        if (record.Kind >= RecordKind.Wait)
        {
            return;
        }

        Start.AddDifference((long)record.X - x);
        Start.AddDifference((long)record.Y - y);
        if (record.Kind == RecordKind.Line)
        {
            Reach.AddDifference((long)record.EndX - record.X);
            Reach.AddDifference((long)record.EndY - record.Y);
            Points.AddDifference((long)record.Points - points);
            points = record.Points;
        }

        if (record.Kind != RecordKind.Jump)
        {
            Widen(record.X, record.Y);
            Widen(record.EndX, record.EndY);
        }

        (x, y) = (record.EndX, record.EndY);
    }

    private void Widen(int codeX, int codeY)
    {
        (double nmX, double nmY) = plane.PlaceOf(codeX, codeY);
        Extent.Widen(next.X + nmX, next.Y + nmY);
    }
}

/// <summary>What is written from one position of the stage.</summary>
/// <param name="FirstRecord">Number of its first record.</param>
/// <param name="Name">Name of its write field; empty where there is one position only.</param>
/// <param name="Header">Turns codes into places and ticks into seconds.</param>
/// <param name="XNanometres">Where its origin lies on the pattern.</param>
/// <param name="YNanometres">As <paramref name="XNanometres"/>.</param>
/// <param name="FirstFigure">Number of its first figure on the pattern.</param>
/// <param name="MoveSeconds">Time of the stage's move that leads there.</param>
internal sealed record PlayerPart(
    long FirstRecord, string Name, RecordsHeader Header, double XNanometres, double YNanometres, int FirstFigure, double MoveSeconds);

/// <summary>The controller waits, beam off, for a block of records.</summary>
/// <param name="Record">The record that it waits for.</param>
/// <param name="Seconds">How long.</param>
internal readonly record struct PlayerPause(long Record, double Seconds);
