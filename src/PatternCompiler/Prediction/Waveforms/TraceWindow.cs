namespace PatternCompiler.Prediction.Waveforms;

/// <summary>The part of an exposure to look at: a stretch of time, or records by their numbers.</summary>
internal readonly record struct TraceWindow
{
    /// <summary>Records that are shown where nobody says which.</summary>
    public const int UsualRecords = 100;

    /// <summary>The window where nobody names one: the first records.</summary>
    public static TraceWindow Usual { get; } = OfRecords(0, UsualRecords - 1) with { IsUsual = true };

    /// <summary>Nobody has named it.</summary>
    public bool IsUsual { get; private init; }

    /// <summary>True for a stretch of time.</summary>
    public bool IsOfTime { get; private init; }

    /// <summary>Start in seconds since the first record began.</summary>
    public double FromSeconds { get; private init; }

    /// <summary>Its length in seconds; infinite up to the end.</summary>
    public double ForSeconds { get; private init; }

    /// <summary>Number of the first record, 0-based.</summary>
    public long FirstRecord { get; private init; }

    /// <summary>Number of the last record.</summary>
    public long LastRecord { get; private init; }

    /// <summary>A stretch of time.</summary>
    public static TraceWindow OfTime(double fromSeconds, double forSeconds) => new() { IsOfTime = true, FromSeconds = fromSeconds, ForSeconds = forSeconds };

    /// <summary>Records by their numbers, the last one among them.</summary>
    public static TraceWindow OfRecords(long first, long last) => new() { FirstRecord = first, LastRecord = last };
}
