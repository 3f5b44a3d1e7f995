namespace PatternCompiler.Prediction.Stray;

/// <summary>Adds up the stretches of a track that print. What is shorter than the beam is wide is a bulge, and no line.</summary>
internal struct StrayRuns(double shortestNanometres)
{
    private double length;
    private double outside;
    private double peak;
    private double own;
    private double width;
    private StrayCause cause;

    /// <summary>Length of all stretches.</summary>
    public double Length { get; private set; }

    /// <summary>The part of it that lies around the pattern's bounds.</summary>
    public double OutsideLength { get; private set; }

    /// <summary>Largest dose of all.</summary>
    public double PeakDose { get; private set; }

    /// <summary>The track's own dose where the dose is largest.</summary>
    public double OwnDose { get; private set; }

    /// <summary>Largest width.</summary>
    public double Width { get; private set; }

    /// <summary>Why the beam is on where the dose is largest.</summary>
    public StrayCause Cause { get; private set; }

    /// <summary>Takes a piece that prints.</summary>
    public void Add(double pieceLength, bool isOutside, double dose, double ownDose, double pieceWidth, StrayCause why)
    {
        length += pieceLength;
        outside += isOutside ? pieceLength : 0;
        width = Math.Max(width, pieceWidth);
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
            Width = Math.Max(Width, width);
            if (peak > PeakDose)
            {
                (PeakDose, OwnDose, Cause) = (peak, own, cause);
            }
        }

        (length, outside, peak, own, width) = (0, 0, 0, 0, 0);
    }
}
