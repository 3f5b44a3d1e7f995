using CsCheck;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Passes.Scale;

public sealed class SubfieldPassTests
{
    private const double ClockHertz = 1e6;

    private static readonly CompositeDac Composite = new(8, 200e-6);

    private static readonly RecordsHeader Header = new(
        "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), ClockHertz, 1, 65535, 1, 1, false);

    [Fact]
    public void Within_a_sub_field_records_stay_as_they_are()
    {
        DeflectionRecord[] records =
        [
            DeflectionRecord.Marker(1),
            DeflectionRecord.Jump(256, 512, 300),
            DeflectionRecord.Line(256, 512, 511, 767, 256, 1000),
            DeflectionRecord.Dot(300, 600, 7),
            DeflectionRecord.Wait(5),
            DeflectionRecord.Jump(511, 512, 20),
        ];
        Assert.Equal(records, Run(records));
    }

    [Fact]
    public void A_jump_to_another_sub_field_waits_for_the_coarse_converters() => Assert.Equal(
        [DeflectionRecord.Jump(255, 0, 200), DeflectionRecord.Jump(256, 0, 200), DeflectionRecord.Jump(512, 0, 900), DeflectionRecord.Jump(513, 0, 20)],
        Run(DeflectionRecord.Jump(255, 0, 20), DeflectionRecord.Jump(256, 0, 20), DeflectionRecord.Jump(512, 0, 900), DeflectionRecord.Jump(513, 0, 20)));

    [Fact]
    public void A_line_is_cut_where_it_crosses_with_the_beam_off_until_the_coarse_converters_rest() => Assert.Equal(
        [
            DeflectionRecord.Jump(250, 10, 200),
            DeflectionRecord.Line(250, 10, 254, 10, 3, 30),
            DeflectionRecord.Jump(256, 10, 200),
            DeflectionRecord.Line(256, 10, 262, 10, 4, 40),
        ],
        Run(DeflectionRecord.Jump(250, 10, 20), DeflectionRecord.Line(250, 10, 262, 10, 7, 70)));

    [Fact]
    public void No_point_moves_no_tick_is_lost_and_the_coarse_converters_never_move_with_the_beam_on() => Documents
        .Record(Header.Dac.CodeCount - 1, 5000, 3000).Array[0, 20].Sample(
            records =>
            {
                DeflectionRecord[] written = Run(records);
                Assert.Equal(Places(records), Places(written));
                Assert.Equal(
                    records.Where(r => r.Points > 0).Sum(r => r.Ticks),
                    written.Where(r => r.Points > 0).Sum(r => r.Ticks));
                (int X, int Y)? at = null;
                foreach (DeflectionRecord record in written)
                {
                    if (record.Kind is RecordKind.Wait or RecordKind.Marker)
                    {
                        continue;
                    }

                    var start = (record.X >> 8, record.Y >> 8);
                    if (record.Kind == RecordKind.Jump)
                    {
                        Assert.True(start == at || record.Ticks >= 200);
                    }
                    else
                    {
                        Assert.Equal(start, at);
                        Assert.Equal(start, (record.EndX >> 8, record.EndY >> 8));
                    }

                    at = start;
                }
            },
            iter: Iterations.Usually(100));

    private static (int X, int Y)[] Places(IEnumerable<DeflectionRecord> records) =>
        [.. records.Where(r => r.Points > 0).SelectMany(r => Enumerable.Range(0, r.Points).Select(i => LinePoints.At(r, i))).Select(p => (p.X, p.Y))];

    private static DeflectionRecord[] Run(params DeflectionRecord[] records)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var pass = new SubfieldPass(Composite, ClockHertz, sink);
        pass.Begin(Header);
        pass.Write(records);
        pass.End();
        return [.. sink.Items];
    }
}
