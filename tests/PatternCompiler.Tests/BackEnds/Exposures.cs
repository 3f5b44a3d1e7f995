using CsCheck;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds;

/// <summary>Exposures for the tests of back ends, and what they look like point by point.</summary>
internal static class Exposures
{
    /// <summary>A header of a machine with ordinary values.</summary>
    public static RecordsHeader Header(int bits, DacCoding coding = DacCoding.OffsetBinary) => new(
        "teaching microscope", new Dac(bits, -10, 10, coding, DacFullScale.OneBeyondLastCode), 1e7, 1, 65535, 1.5, -1.5, false)
    {
        BlankLevel = BlankLevel.High,
    };

    /// <summary>Random headers that every back end can carry.</summary>
    public static Gen<RecordsHeader> Headers =>
        from header in Documents.RecordsHeader
        from name in Gen.String[Gen.Char.AlphaNumeric, 0, 40]
        from level in Gen.Int[1, 3]
        select header with { MachineName = name, BlankLevel = (BlankLevel)level };

    /// <summary>Random exposures with dwells up to a limit.</summary>
    public static Gen<(RecordsHeader Header, DeflectionRecord[] Items)> Any(long mostTicks, int mostPoints) =>
        from header in Headers
        from items in Documents.Record(header.Dac.CodeCount - 1, mostTicks, mostPoints).Array[0, 60]
        select (header, items);

    /// <summary>Every line as dots; what a stream without lines says.</summary>
    public static IEnumerable<DeflectionRecord> AsDots(IEnumerable<DeflectionRecord> records) => records.SelectMany(record =>
        record.Kind == RecordKind.Line
            ? Enumerable.Range(0, record.Points).Select(i => LinePoints.At(record, i)).Select(p => DeflectionRecord.Dot(p.X, p.Y, p.Ticks))
            : [record]);

    /// <summary>
    /// What the outputs do over time, with equal neighbours joined and points that last no time left out: two records
    /// documents with the same exposure give the same.
    /// </summary>
    public static List<BeamPoint> Timeline(RecordsHeader header, IEnumerable<DeflectionRecord> records)
    {
        var timeline = new List<BeamPoint>();
        int x = header.Dac.CodeCount / 2;
        int y = x;
        foreach (DeflectionRecord record in AsDots(records))
        {
            if (record.Kind is RecordKind.Jump or RecordKind.Dot)
            {
                (x, y) = (record.X, record.Y);
            }

            if (record.Kind == RecordKind.Marker || record.Ticks == 0)
            {
                continue;
            }

            var point = new BeamPoint(x, y, record.Ticks, record.Kind == RecordKind.Dot);
            if (timeline.Count > 0 && timeline[^1] with { Ticks = point.Ticks } == point)
            {
                timeline[^1] = point with { Ticks = timeline[^1].Ticks + point.Ticks };
            }
            else
            {
                timeline.Add(point);
            }
        }

        return timeline;
    }

    /// <summary>
    /// The timeline without a tick with the beam off at the very end, where it was on: in forms that end with such a tick it
    /// says no more than the end itself.
    /// </summary>
    public static List<BeamPoint> Unclosed(RecordsHeader header, IEnumerable<DeflectionRecord> records)
    {
        List<BeamPoint> timeline = Timeline(header, records);
        return timeline is [.., { IsOn: true } on, { IsOn: false, Ticks: 1 } off] && (on.X, on.Y) == (off.X, off.Y) ? timeline[..^1] : timeline;
    }
}
