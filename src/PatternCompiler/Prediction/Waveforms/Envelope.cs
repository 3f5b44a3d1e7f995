namespace PatternCompiler.Prediction.Waveforms;

/// <summary>What a line did within a stretch of time.</summary>
/// <param name="First">Its value at the start.</param>
/// <param name="Low">The lowest value.</param>
/// <param name="High">The highest value.</param>
/// <param name="Last">Its value at the end.</param>
internal readonly record struct Envelope(double First, double Low, double High, double Last)
{
    /// <summary>Nothing is known of this stretch.</summary>
    public static Envelope None { get; } = new(double.NaN, double.NaN, double.NaN, double.NaN);

    /// <summary>True where nothing is known.</summary>
    public bool IsEmpty => double.IsNaN(First);

    /// <summary>From one value to another, on the way neither above nor below both.</summary>
    public static Envelope Between(double first, double last) => new(first, Math.Min(first, last), Math.Max(first, last), last);

    /// <summary>This stretch and the next one.</summary>
    public Envelope Then(in Envelope next) => IsEmpty ? next : next.IsEmpty ? this
        : new(First, Math.Min(Low, next.Low), Math.Max(High, next.High), next.Last);
}
