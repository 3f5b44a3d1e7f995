using System.Collections.Immutable;

namespace PatternCompiler.Prediction.Stray;

/// <summary>Adds up the stretches of a track that print. What is shorter than the beam is wide is a bulge, and no line.</summary>
internal sealed class StrayRuns(double shortestNanometres)
{
    private const int MostPointsKept = 64;
    private readonly List<(double X, double Y)> places = [];
    private readonly ImmutableArray<ImmutableArray<(double X, double Y)>>.Builder stretches = ImmutableArray.CreateBuilder<ImmutableArray<(double X, double Y)>>();
    private double length;
    private double outside;
    private double peak;
    private double own;
    private double width;
    private double widthByLength;
    private StrayCause cause;

    /// <summary>Length of all stretches.</summary>
    public double Length { get; private set; }

    /// <summary>The part of it that lies around the pattern's bounds.</summary>
    public double OutsideLength { get; private set; }

    /// <summary>Largest dose of all.</summary>
    public double PeakDose { get; private set; }

    /// <summary>The track's own dose where the dose is largest.</summary>
    public double OwnDose { get; private set; }

    /// <summary>Mean width along all stretches.</summary>
    public double Width => Length > 0 ? widthByLength / Length : 0;

    /// <summary>Why the beam is on where the dose is largest.</summary>
    public StrayCause Cause { get; private set; }

    /// <summary>Where the stretches lie.</summary>
    public ImmutableArray<ImmutableArray<(double X, double Y)>> Stretches => stretches.ToImmutable();

    /// <summary>Takes a piece that prints.</summary>
    public void Add(double x, double y, double pieceLength, bool isOutside, double dose, double ownDose, double pieceWidth, StrayCause why)
    {
        places.Add((x, y));
        length += pieceLength;
        outside += isOutside ? pieceLength : 0;
        width += pieceLength * pieceWidth;
        if (dose > peak)
        {
            (peak, own, cause) = (dose, ownDose, why);
        }
    }

    /// <summary>Ends a stretch.</summary>
    public void Break()
    {
        if (length > shortestNanometres)
        {
            Length += length;
            OutsideLength += outside;
            widthByLength += width;
            int stride = 1 + places.Count / MostPointsKept;
            stretches.Add([.. places.Where((_, i) => i % stride == 0 || i == places.Count - 1)]);
            if (peak > PeakDose)
            {
                (PeakDose, OwnDose, Cause) = (peak, own, cause);
            }
        }

        places.Clear();
        (length, outside, peak, own, width) = (0, 0, 0, 0, 0);
    }
}
