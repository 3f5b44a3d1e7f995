using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Passes.Timing;

/// <summary>
/// The last records before they are passed on. While they are here their dwells can still be shortened: where a figure has
/// had to get more ticks than it asks for, they are taken back from its records around that place. What those cannot give
/// is taken from the records of the figure that follow. Memory holds some hundred records, and the figures that are owed to.
/// </summary>
/// <param name="output">Takes the records.</param>
internal sealed class DwellWindow(IDocumentSink<RecordsHeader, DeflectionRecord> output)
{
    /// <summary>Figure of a record whose dwell stays as it is.</summary>
    public const long Fixed = long.MinValue;

    private const int Kept = 256;
    private const int Capacity = 2 * Kept;

    /// <summary>No record gives more than this part of its ticks while others can give the rest.</summary>
    private const int EvenPart = 8;

    private readonly DeflectionRecord[] records = new DeflectionRecord[Capacity];
    private readonly long[] figures = new long[Capacity];
    private readonly long[] floors = new long[Capacity];
    private readonly Dictionary<long, Excess> owed = [];
    private int count;
    private long ticksBeforeSegment;

    /// <summary>Number of the first record that is still here, counted from the start of the document.</summary>
    public long Begin { get; private set; }

    /// <summary>Number of the next record.</summary>
    public long End => Begin + count;

    /// <summary>Time that all records so far take.</summary>
    public long ElapsedTicks { get; private set; }

    /// <summary>Number of the first record of the segment.</summary>
    public long SegmentBegin { get; private set; }

    /// <summary>Time that the segment takes so far.</summary>
    public long SegmentTicks => ElapsedTicks - ticksBeforeSegment;

    /// <summary>What figures have got too much and could not give back.</summary>
    public IEnumerable<Excess> Owed => owed.Values;

    /// <summary>The last record.</summary>
    public ref readonly DeflectionRecord Last => ref records[count - 1];

    /// <summary>What comes next are the records of a segment, from the beam off to the beam off.</summary>
    public void BeginSegment() => (SegmentBegin, ticksBeforeSegment) = (End, ElapsedTicks);

    /// <summary>Lets the records of the segment give no more than some ticks, all together; where there are none, give and take nothing.</summary>
    public void HoldSegment(double spareTicks)
    {
        int first = (int)(Math.Max(SegmentBegin, Begin) - Begin);
        long each = (long)Math.Floor(spareTicks / Math.Max(1, count - first));
        for (int i = first; i < count; i++)
        {
            if (spareTicks < 0)
            {
                figures[i] = Fixed;
            }
            else
            {
                floors[i] = Math.Max(floors[i], records[i].Ticks - each);
            }
        }
    }

    /// <summary>Adds a record whose dwell stays as it is.</summary>
    public void Push(in DeflectionRecord record) => Push(record, Fixed, 0);

    /// <summary>Adds an exposure; it gives what its figure has got too much before.</summary>
    /// <param name="record">A dot or line.</param>
    /// <param name="figure">Its figure.</param>
    /// <param name="floor">Fewest ticks that it can be shortened to.</param>
    public void Push(in DeflectionRecord record, long figure, long floor)
    {
        if (count == Capacity)
        {
            PassOn(Kept);
        }

        records[count] = record;
        figures[count] = figure;
        floors[count] = floor;
        count++;
        ElapsedTicks += record.TimedTicks;
        if (owed.Count > 0 && figure != Fixed && owed.TryGetValue(figure, out Excess excess))
        {
            Owe(figure, excess with { Ticks = excess.Ticks - Shorten(count - 1, excess.Ticks) });
        }
    }

    /// <summary>Removes the last record.</summary>
    public DeflectionRecord Pop()
    {
        DeflectionRecord record = records[--count];
        ElapsedTicks -= record.TimedTicks;
        return record;
    }

    /// <summary>A figure has got ticks too many: takes them back as near as may be, and notes what is left.</summary>
    public void TakeBack(long figure, Excess excess)
    {
        long left = excess.Ticks;
        for (int part = EvenPart; part >= 1 && left > 0; part -= EvenPart - 1)
        {
            for (int i = count - 1; i >= 0 && left > 0; i--)
            {
                if (figures[i] == figure)
                {
                    left -= Shorten(i, Math.Min(left, Math.Max(1, records[i].Ticks / part)));
                }
            }
        }

        if (left > 0)
        {
            Owe(figure, owed.GetValueOrDefault(figure, Excess.None).With(excess with { Ticks = left }));
        }
    }

    /// <summary>What a figure has got too much and could not give back: whoever asks for it gives it back, or says what is left.</summary>
    public Excess Settle(long figure) => owed.Remove(figure, out Excess excess) ? excess : Excess.None;

    /// <summary>A figure has got ticks too few: the last record of it that can takes them.</summary>
    /// <returns>False if none is here that can.</returns>
    public bool TryAdd(long figure, long ticks, long longestDwell)
    {
        for (int i = count - 1; i >= 0; i--)
        {
            if (figures[i] == figure && records[i].Ticks + ticks <= longestDwell * records[i].Points)
            {
                Lengthen(i, ticks);
                return true;
            }
        }

        return false;
    }

    /// <summary>Passes everything on.</summary>
    public void Flush() => PassOn(count);

    private long Shorten(int index, long most)
    {
        long ticks = Math.Clamp(records[index].Ticks - floors[index], 0, most);
        Lengthen(index, -ticks);
        return ticks;
    }

    private void Lengthen(int index, long ticks)
    {
        records[index] = records[index] with { Ticks = records[index].Ticks + ticks };
        ElapsedTicks += ticks;
        ticksBeforeSegment += Begin + index < SegmentBegin ? ticks : 0;
    }

    private void Owe(long figure, in Excess excess)
    {
        if (excess.Ticks > 0)
        {
            owed[figure] = excess;
        }
        else
        {
            owed.Remove(figure);
        }
    }

    private void PassOn(int passed)
    {
        output.Write(records.AsSpan(0, passed));
        count -= passed;
        Begin += passed;
        records.AsSpan(passed, count).CopyTo(records);
        figures.AsSpan(passed, count).CopyTo(figures);
        floors.AsSpan(passed, count).CopyTo(floors);
    }
}

/// <summary>What a figure, or several, got more than they ask for because the beam could not be turned off in time.</summary>
/// <param name="Ticks">Clock ticks.</param>
/// <param name="OffDelayTicks">Longest off-delay with which every segment could have ended in time.</param>
internal readonly record struct Excess(long Ticks, long OffDelayTicks)
{
    /// <summary>Nothing too much.</summary>
    public static Excess None { get; } = new(0, long.MaxValue);

    /// <summary>Together with more of it.</summary>
    public Excess With(Excess more) => new(Ticks + more.Ticks, Math.Min(OffDelayTicks, more.OffDelayTicks));
}
