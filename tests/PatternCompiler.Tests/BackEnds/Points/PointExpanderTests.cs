using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.Points;

public sealed class PointExpanderTests
{
    [Fact]
    public void Each_kind_of_record_holds_or_moves_the_outputs() => Assert.Equal(
        [
            new BeamPoint(2048, 2048, 4, false), // nothing has moved yet: the middle of the range
            new BeamPoint(7, 9, 5, false), new BeamPoint(7, 9, 6, false), new BeamPoint(8, 11, 7, true),
            new BeamPoint(8, 11, 8, false),
            new BeamPoint(20, 40, 3, true), new BeamPoint(21, 45, 3, true), new BeamPoint(22, 50, 4, true),
            new BeamPoint(22, 50, 1, false),
        ],
        Expand(
            DeflectionRecord.Wait(4), DeflectionRecord.Marker(99), DeflectionRecord.Jump(7, 9, 5), DeflectionRecord.Wait(6), DeflectionRecord.Dot(8, 11, 7),
            DeflectionRecord.Marker(98), DeflectionRecord.Wait(8), DeflectionRecord.Line(20, 40, 22, 50, 3, 10), DeflectionRecord.Wait(1)));

    // Points are held in pieces of 1024; a step of (1, -2) codes and a tick each, one more now and then.
    [Theory]
    [InlineData(1023)]
    [InlineData(1024)]
    [InlineData(1025)]
    [InlineData(2048)]
    [InlineData(2050)]
    public void Long_lines_go_on_from_piece_to_piece(int points)
    {
        BeamPoint[] expanded = Expand(DeflectionRecord.Line(0, 4095, points - 1, 4095 - 2 * ((points - 1) / 2) - (points - 1) % 2, points, points + 1), DeflectionRecord.Wait(2));
        Assert.Equal(points + 1, expanded.Length);
        Assert.Equal(Enumerable.Range(0, points), expanded[..points].Select(p => p.X));
        Assert.Equal(Enumerable.Range(0, points).Select(i => 4095 - i), expanded[..points].Select(p => p.Y));
        Assert.Equal(points + 1, expanded[..points].Sum(p => p.Ticks));
        Assert.All(expanded[..points], p => Assert.True(p.IsOn && p.Ticks >= 1));
        Assert.Equal(new BeamPoint(points - 1, 4095 - (points - 1), 2, false), expanded[points]);
    }

    [Fact]
    public void What_states_the_machines_level_or_none_is_for_the_machine_and_nothing_else()
    {
        foreach (BlankLevel machine in new[] { BlankLevel.High, BlankLevel.Low, BlankLevel.NoBlanker })
        {
            foreach (BlankLevel stated in Enum.GetValues<BlankLevel>())
            {
                var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
                var level = new MachineLevel("r", machine, sink);
                RecordsHeader header = Exposures.Header(12) with { BlankLevel = stated };
                if (stated == machine || stated == BlankLevel.NotStated)
                {
                    level.Begin(header);
                    level.Write([DeflectionRecord.Jump(1, 2, 3)]);
                    level.End();
                    Assert.Equal(header with { BlankLevel = machine }, sink.Header);
                    Assert.Equal([DeflectionRecord.Jump(1, 2, 3)], sink.Items);
                    Assert.True(sink.HasEnded);
                }
                else
                {
                    Assert.StartsWith("r: error PC2041: the records are for ", Assert.Throws<CompileException>(() => level.Begin(header)).Message, StringComparison.Ordinal);
                }
            }
        }
    }

    private static BeamPoint[] Expand(params DeflectionRecord[] records)
    {
        var sink = new CollectingSink<RecordsHeader, BeamPoint>();
        var expander = new PointExpander(sink);
        expander.Begin(Exposures.Header(12));
        expander.Write(records);
        expander.End();
        Assert.True(sink.HasEnded);
        return [.. sink.Items];
    }
}
