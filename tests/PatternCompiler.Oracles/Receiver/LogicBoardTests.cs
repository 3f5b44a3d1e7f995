using System.Globalization;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.VirtualLab.Streams;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>The whole board of the receiver in Verilog between its pins: serial line in and out, converters, blank and scan-enable, interlock, reset.</summary>
public sealed class LogicBoardTests(LogicReceiver logic) : IClassFixture<LogicReceiver>
{
    private const int ClocksPerTick = 4;
    private const int LineTicks = 5;
    private const int Points = 20;

    private static readonly DeflectionRecord Line = DeflectionRecord.Line(100, 65000, 1000, 64100, Points, Points * LineTicks);

    private static readonly DeflectionRecord[] Records =
        [DeflectionRecord.Jump(100, 65000, 50), Line, DeflectionRecord.Dot(2000, 3000, 9), DeflectionRecord.Wait(30), DeflectionRecord.Dot(2001, 3001, 5)];

    [IcarusFact]
    public void A_stream_over_the_serial_line_stands_at_the_pins_tick_by_tick()
    {
        (Change[] seen, string[] messages, string alive) = Run();

        // By the stream's page: 50 ticks of jump, 20 points of 5, 9, 30 with the beam off, 5; a tick is 4 clocks.
        int start = seen[0].Clock;
        List<(int, int, int, bool)> expected = [(0, 100, 65000, false)];
        int ticks = 50;
        for (int i = 0; i < Points; i++, ticks += LineTicks)
        {
            (int x, int y, _) = LinePoints.At(Line, i);
            expected.Add((ticks, x, y, true));
        }

        expected.AddRange([(ticks, 2000, 3000, true), (ticks + 9, 2000, 3000, false), (ticks + 39, 2001, 3001, true), (ticks + 44, 2001, 3001, false)]);
        Assert.Equal(expected, seen.Take(expected.Count).Select(change => ((change.Clock - start) / ClocksPerTick, change.X, change.Y, change.IsOn)));
        Assert.All(seen.Take(expected.Count), change => Assert.Equal(0, (change.Clock - start) % ClocksPerTick));
        Assert.All(seen.Take(expected.Count), change => Assert.True(change.IsScanning));
        Assert.Equal((2001, 3001, false, false), (seen[^1].X, seen[^1].Y, seen[^1].IsOn, seen[^1].IsScanning));

        // Kind, fault, cut, credit, blocks and records, each with its CRC.
        Assert.Equal(["I 0 0 0 0 0", "C 0 0 8 0 0", "C 0 0 9 1 0", "D 0 0 0 2 0"], messages);

        // Half a period each millisecond, for the watchdog outside.
        string[] words = alive.Split(' ');
        Assert.InRange(int.Parse(words[1], CultureInfo.InvariantCulture), int.Parse(words[3], CultureInfo.InvariantCulture) - 1, int.Parse(words[3], CultureInfo.InvariantCulture) + 1);
    }

    [IcarusFact]
    public void An_open_interlock_and_a_reset_blank_at_once()
    {
        (Change[] whole, _, _) = Run();
        int amid = whole.First(change => change.IsOn).Clock + 7 * LineTicks * ClocksPerTick + 3;

        (Change[] opened, string[] messages, _) = Run($"+open={amid}");
        Change off = opened.First(change => change.Clock > amid);
        Assert.Equal((amid + 1, false), (off.Clock, off.IsOn));
        Assert.DoesNotContain(opened, change => change.Clock > amid && change.IsOn);
        Assert.Equal("F 8 1 0 0 1", messages[^1]);

        (Change[] reset, messages, _) = Run($"+reset={amid}");
        Assert.Equal((amid + 1, false), (reset.First(change => change.Clock > amid).Clock, reset.First(change => change.Clock > amid).IsOn));
        Assert.DoesNotContain(reset, change => change.Clock > amid && change.IsOn);
        Assert.Equal("I 0 0 0 0 0", messages[^1]);
    }

    private (Change[] Changes, string[] Messages, string Alive) Run(params string[] arguments)
    {
        var header = new RecordsHeader("m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.LastCode), 1e6, 2, 65535, 1, 1, false);
        using var target = new MemoryStream();
        var writer = new ExposureStreamWriter(target, StreamProfile.Lines);
        writer.Begin(header);
        writer.Write(Records);
        writer.End();
        string[] lines = logic.Simulate("whole", target.ToArray(), arguments);
        Assert.DoesNotContain("no stop bit", lines);
        byte[] said = [.. lines.Where(line => line.StartsWith("byte ", StringComparison.Ordinal)).Select(line => byte.Parse(line.AsSpan(5), NumberStyles.HexNumber, CultureInfo.InvariantCulture))];
        return (
            [.. lines.Where(line => line.StartsWith("at ", StringComparison.Ordinal)).Select(Change.Parse).SkipWhile(change => !change.IsScanning)],
            [.. said.Chunk(20).Where(message => message.Length == 20).Select(Told)],
            lines.First(line => line.StartsWith("alive ", StringComparison.Ordinal)));
    }

    private static string Told(byte[] message)
    {
        Assert.Equal(0xA5, message[0]);
        Assert.Equal(Crc32C.Of(message.AsSpan(0, 16)), BitConverter.ToUInt32(message, 16));
        return $"{(char)message[1]} {message[2]} {message[3]} {BitConverter.ToUInt32(message, 4)} {BitConverter.ToUInt32(message, 8)} {BitConverter.ToUInt16(message, 12)}";
    }

    private readonly record struct Change(int Clock, int X, int Y, bool IsOn, bool IsScanning)
    {
        public static Change Parse(string line)
        {
            int[] numbers = [.. line.Split(' ')[1..].Select(word => int.TryParse(word, CultureInfo.InvariantCulture, out int number) ? number : -1)];
            return new(numbers[0], numbers[1], numbers[2], numbers[3] == 0, numbers[4] == 1);
        }
    }
}
