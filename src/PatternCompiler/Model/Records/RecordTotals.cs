namespace PatternCompiler.Model.Records;

/// <summary>What a records document holds altogether; every carrier states it at its end.</summary>
/// <param name="Records">Number of records.</param>
/// <param name="Points">Exposed points.</param>
/// <param name="Ticks">Clock ticks of all records, which is the whole writing time but for waits for a trigger; markers take none.</param>
internal readonly record struct RecordTotals(long Records, long Points, long Ticks)
{
    /// <summary>The totals with more records.</summary>
    public RecordTotals Plus(ReadOnlySpan<DeflectionRecord> records)
    {
        long points = Points;
        long ticks = Ticks;
        foreach (ref readonly DeflectionRecord record in records)
        {
            points += record.Points;
            ticks += record.TimedTicks;
        }

        return new(Records + records.Length, points, ticks);
    }
}
