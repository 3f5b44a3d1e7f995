using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>How fast the receiver in Verilog goes where every clock is a tick: point after point without the beam going off.</summary>
public sealed class LogicRateTests(LogicReceiver logic) : IClassFixture<LogicReceiver>
{
    private const int Bits = 16;
    private const int LinePoints = 150;
    private const int Dots = 90;

    [IcarusFact]
    public void On_parallel_converters_a_point_takes_8_clocks_in_lines_and_as_a_record() => AssertRate(8);

    /// <summary>A word of 24 bits at two clocks each, and 8 clocks for its select and what stands around it.</summary>
    [IcarusFact]
    public void On_serial_converters_a_point_takes_the_time_of_a_word()
    {
        AssertRate(56, "HAS_SPI=1");
        AssertRate(56, "HAS_SPI=1", "LATCHES_BY_SELECT=1");
    }

    private void AssertRate(int clocks, params string[] parameters)
    {
        var records = new List<DeflectionRecord> { DeflectionRecord.Jump(100, 65000, 500), DeflectionRecord.Line(100, 65000, 1000, 64100, LinePoints, LinePoints * clocks) };
        records.AddRange(Enumerable.Range(0, Dots).Select(i => DeflectionRecord.Dot(2000 + i, 3000 + 2 * i, clocks)));
        var header = new RecordsHeader("m", new Dac(Bits, -10, 10, DacCoding.OffsetBinary, DacFullScale.LastCode), 5e7, 8, 65535, 1, 1, false);
        using var target = new MemoryStream();
        var writer = new ExposureStreamWriter(target, StreamProfile.Lines);
        writer.Begin(header);
        writer.Write([.. records]);
        writer.End();

        (int Clock, int X, int Y, bool IsOn)[] seen = logic.Positions(target.ToArray(), Bits, 8, parameters);
        (int Clock, int X, int Y, bool IsOn)[] on = [.. seen.Where(position => position.IsOn)];
        (int, int)[] expected = [
            .. Enumerable.Range(0, LinePoints).Select(i => PatternCompiler.Model.Records.LinePoints.At(records[1], i)).Select(point => (point.X, point.Y)),
            .. records.Skip(2).Select(dot => (dot.X, dot.Y)),
        ];
        Assert.Equal(expected, on.Select(position => (position.X, position.Y)));

        // Every point lasts its ticks to the clock, from one to the next and to the end, where the beam goes off.
        int last = Array.FindLastIndex(seen, position => position.IsOn);
        Assert.False(seen[last + 1].IsOn);
        Assert.Equal(Enumerable.Repeat(clocks, expected.Length), on.Skip(1).Append(seen[last + 1]).Zip(on, (next, position) => next.Clock - position.Clock));
        Assert.Equal(on.Length, last - Array.FindIndex(seen, position => position.IsOn) + 1);
    }
}
