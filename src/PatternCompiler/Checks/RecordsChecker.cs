using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Checks;

/// <summary>
/// Passes records on unchanged and throws at the first that breaks the document's rules: beam on before the first move,
/// a code outside the converter, a dwell outside the controller's limits. Takes totals on the way.
/// </summary>
internal sealed class RecordsChecker : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private readonly IDocumentSink<RecordsHeader, DeflectionRecord>? next;
    private RecordsHeader? header;
    private long records;
    private long jumps;
    private long points;
    private long exposedTicks;
    private long settleTicks;
    private long waitTicks;
    private long triggers;
    private long shortestDwell = long.MaxValue;

    /// <summary>Checks in front of <paramref name="next"/>, or only checks if that is null.</summary>
    public RecordsChecker(IDocumentSink<RecordsHeader, DeflectionRecord>? next = null)
    {
        this.next = next;
    }

    /// <summary>What has passed so far.</summary>
    public ExposureTotals Totals =>
        new(records, jumps, points, exposedTicks, settleTicks, waitTicks, points > 0 ? shortestDwell : 0) { Triggers = triggers };

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        this.header = header;
        next?.Begin(header);
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            Check(record);
        }

        next?.Write(items);
    }

    /// <inheritdoc/>
    public void End() => next?.End();

    private void Check(in DeflectionRecord record)
    {
        Require(record.Ticks >= 0, "its ticks are below zero");
        switch (record.Kind)
        {
            case RecordKind.Jump:
                CheckRange(record);
                Require(record.Points == 0, "it is a jump, but it exposes points");
                jumps++;
                settleTicks += record.Ticks;
                break;
            case RecordKind.Dot:
                Require(record.Points == 1 && record.EndX == record.X && record.EndY == record.Y, "it is a dot, but not one point at one place");
                CheckExposure(record);
                break;
            case RecordKind.Line:
                Require(record.Points >= 1, "it is a line without points");
                CheckExposure(record);
                break;
            case RecordKind.Wait:
                Require(record.Points == 0, "it is a wait, but it exposes points");
                waitTicks += record.Ticks;
                break;
            case RecordKind.Trigger:
                Require(record.Points == 0, "it waits for a trigger, but it exposes points");
                Require(record.Ticks > 0, "it waits for a trigger 0 ticks long");
                Require(header!.WaitsForTrigger, "it waits for a trigger, which the document's header does not say");
                Require(jumps > 0, "it waits for a trigger before the first jump");
                triggers++;
                break;
            case RecordKind.Marker:
                break;
            default:
                throw Fault($"its kind is {(int)record.Kind}, which does not exist");
        }

        records++;
    }

    private void CheckExposure(in DeflectionRecord record)
    {
        Require(jumps > 0, "the beam is on before the first jump");
        CheckRange(record);
        long shortest = record.Ticks / record.Points;
        long longest = (record.Ticks + record.Points - 1) / record.Points;
        if (shortest < header!.MinimumDwellTicks || longest > header.MaximumDwellTicks)
        {
            throw Fault($"a point dwells {shortest} to {longest} ticks, allowed are {header.MinimumDwellTicks} to {header.MaximumDwellTicks}");
        }

        shortestDwell = Math.Min(shortestDwell, shortest);
        points += record.Points;
        exposedTicks += record.Ticks;
    }

    private void CheckRange(in DeflectionRecord record)
    {
        uint codes = (uint)header!.Dac.CodeCount;
        if ((uint)record.X >= codes || (uint)record.Y >= codes || (uint)record.EndX >= codes || (uint)record.EndY >= codes)
        {
            throw Fault($"a code is outside 0 to {codes - 1}");
        }
    }

    private void Require(bool holds, string fault)
    {
        if (!holds)
        {
            throw Fault(fault);
        }
    }

    private CompileException Fault(string message) =>
        new(CheckCodes.RecordInvalid, message, new SourcePlace { Item = new(ItemKind.Record, records) });
}
