using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// Sends over a pseudo-terminal to the receiver in C while the cable misbehaves. Whatever happens, no dot is written twice
/// and the beam ends off.
/// </summary>
public sealed class SendTests(CReceiver receiver) : IClassFixture<CReceiver>
{
    private const int Dots = 2000;

    private static readonly byte[] Chip = Emit();

    private static readonly SendOptions Quick = new(TimeSpan.FromSeconds(2), 100, 0);

    [Fact]
    public void Over_a_sound_cable_everything_arrives_in_one_go()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        var seen = new List<SendProgress>();
        SendReport report = Send(cable, Quick, seen.Add);
        Assert.Equal(new SendReport(2 * Dots + 1, 0, false), report);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
        Assert.Equal(2 * Dots + 1, seen[^1].RecordsWritten);
        Assert.Equal(0, seen[^1].SecondsLeft);
        Assert.Equal(seen.Select(p => p.RecordsWritten).Order(), seen.Select(p => p.RecordsWritten));
    }

    [Theory]
    [InlineData(5003)]
    [InlineData(17001)]
    public void Flipped_bits_cost_a_restart_and_no_dose(int every)
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, (n, b) => n % every == every - 1 ? (byte)(b ^ 0x10) : b);
        SendReport report = Send(cable, Quick);
        Assert.True(report.Retries > 0);
        Assert.Equal(2 * Dots + 1, report.RecordsWritten);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
    }

    [Fact]
    public void Lost_bytes_cost_a_restart_and_no_dose()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, (n, b) => n is 9_000 or 23_456 ? null : b);
        SendReport report = Send(cable, Quick);
        Assert.Equal(2, report.Retries);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
    }

    [Fact]
    public void Damaged_messages_do_no_harm()
    {
        using var cable = new BadCable(
            receiver.PathOf("receive"), 16, 1, null, (n, b) => n % 97 == 13 ? null : n % 89 == 7 ? (byte)(b ^ 1) : b);
        SendReport report = Send(cable, Quick);
        Assert.Equal(2 * Dots + 1, report.RecordsWritten);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
    }

    [Fact]
    public void A_slow_cable_is_waited_for()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, (n, b) =>
        {
            if (n % 10_000 == 9_999)
            {
                Thread.Sleep(400);
            }

            return b;
        });
        Assert.Equal(0, Send(cable, Quick).Retries);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
    }

    [Fact]
    public void A_pulled_cable_is_an_error_and_leaves_the_beam_off()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, breaksAt: 20_000);
        string message = Assert.Throws<CompileException>(() => Send(cable, Quick)).Message;
        Assert.Matches("^chip: error PC2020: .*; records 1 to \\d+ are written; of records \\d+ to \\d+ \\(figure 1\\) nothing is known: they may be written, in part or not at all; the receiver does not confirm that the beam is off; make sure that the beam is off, check the cable and the receiver; no command goes on safely: look at the sample, and send from the first record that is missing there$", message);
        string[] dots = DotsOf(cable.Finish());
        Assert.Equal(ExpectedDots()[..dots.Length], dots);
    }

    [Fact]
    public void A_stop_is_confirmed_and_the_rest_can_be_sent_later()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        using var stop = new CancellationTokenSource();
        SendReport report = Send(cable, Quick, progress => { if (progress.RecordsWritten > 1000) { stop.Cancel(); } }, cancellation: stop.Token);
        Assert.True(report.WasStopped);
        Assert.InRange(report.RecordsWritten, 1001, 2 * Dots - 1);
        SendReport rest = Send(cable, Quick with { FirstRecord = report.RecordsWritten });
        Assert.Equal(new SendReport(2 * Dots + 1, 0, false), rest);
        Assert.Equal(ExpectedDots(), DotsOf(cable.Finish()));
    }

    [Fact]
    public void A_receiver_of_another_machine_refuses_once()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 12, 1);
        Assert.Equal(
            "chip: error PC2021: the stream is not for this receiver; nothing is written by this run; the receiver confirms that the beam is off; emit the stream with the machine file of this receiver",
            Assert.Throws<CompileException>(() => Send(cable, Quick)).Message);
        Assert.Empty(DotsOf(cable.Finish()));
    }

    [Fact]
    public void Where_nobody_answers_nothing_is_sent()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1, null, (_, _) => null);
        Assert.StartsWith(
            "chip: error PC2020: no receiver answers; nothing is written by this run; the receiver does not confirm that the beam is off",
            Assert.Throws<CompileException>(() => Send(cable, Quick)).Message,
            StringComparison.Ordinal);
        Assert.Empty(DotsOf(cable.Finish()));
    }

    [Fact]
    public void A_damaged_file_is_refused_before_the_beam_is_on()
    {
        using var cable = new BadCable(receiver.PathOf("receive"), 16, 1);
        byte[] damaged = [.. Chip];
        damaged[^30_000] ^= 1;
        Assert.Contains("PC2004", Assert.Throws<CompileException>(() => Send(cable, Quick, stream: damaged)).Message, StringComparison.Ordinal);
        Assert.Empty(DotsOf(cable.Finish()));
    }

    private static SendReport Send(
        BadCable cable, SendOptions options, Action<SendProgress>? observer = null, byte[]? stream = null, CancellationToken cancellation = default)
    {
        using var source = new MemoryStream(stream ?? Chip);
        using FileStream to = cable.OpenEnd(FileAccess.Write);
        FileStream from = cable.OpenEnd(FileAccess.Read);
        return Sender.Run(source, "chip", to, from, options, TimeProvider.System, observer ?? (_ => { }), cancellation);
    }

    private static byte[] Emit()
    {
        var header = new RecordsHeader(
            "m", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 65535, 1, 1, false);
        using var target = new MemoryStream();
        var writer = new ExposureStreamWriter(target, StreamProfile.Points);
        writer.Begin(header);
        writer.Write([DeflectionRecord.Marker(1)]);
        for (int i = 0; i < Dots; i++)
        {
            writer.Write([DeflectionRecord.Jump(i, 7 * i, 50), DeflectionRecord.Dot(i, 7 * i, 20 + i)]);
        }

        writer.End();
        return target.ToArray();
    }

    private static string[] ExpectedDots() => [.. Enumerable.Range(0, Dots).Select(i => $"dot {i} {7 * i} {20 + i}")];

    private static string[] DotsOf(string[] actions)
    {
        Assert.Equal("beam off", actions[^1]);
        return [.. actions.Where(action => action.StartsWith("dot ", StringComparison.Ordinal))];
    }
}
