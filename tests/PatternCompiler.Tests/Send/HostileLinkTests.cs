using System.Globalization;
using System.Text.RegularExpressions;
using CsCheck;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model.Records;
using PatternCompiler.Send;

namespace PatternCompiler.Tests.Send;

/// <summary>
/// Any course of losses, damages, faults, resets, cuts and interruptions: what is told is true of the resist, nothing is written
/// twice, and success means that everything is written once. The model of the link's page says the same of every course of
/// a small exposure; here it is the program that runs.
/// </summary>
public sealed partial class HostileLinkTests
{
    private enum Mishap
    {
        None,
        Loss,
        Damage,
        Starve,
        Reset,
        Cut,
        Stop,
        Hardware,
        Interrupt,
        LostMessage,
        Silence,
    }

    [Fact]
    public void What_is_told_is_true() => Gen.Select(
        Gen.Int[1, 40].Array[1, 12], Gen.Int[1, 10].Array[12], Gen.Bool, Gen.Int[0, 40]).Sample(
        (turns, mishaps, isSlow, salt) =>
    {
        using var stop = new CancellationTokenSource();
        var receiver = new FakeReceiver { IsSlow = isSlow };
        int turn = 0;
        var plan = new Dictionary<int, Mishap>();
        int at = 0;
        for (int i = 0; i < turns.Length; i++)
        {
            plan[at += turns[i]] = (Mishap)mishaps[i];
        }

        int deaf = 0;
        receiver.Arrives = (_, _) => Meet(receiver, plan.GetValueOrDefault(turn++), salt + turn, stop, ref deaf);
        receiver.Says = message => deaf-- > 0 ? null : message;
        Judge(receiver, stop.Token);
    },
    iter: Iterations.Usually(300));

    // False if what arrives is lost by it.
    private static bool Meet(FakeReceiver receiver, Mishap mishap, int salt, CancellationTokenSource stop, ref int deaf)
    {
        switch (mishap)
        {
            case Mishap.Loss:
                return false;
            case Mishap.Damage when receiver.InStream:
                receiver.Leave('F', 3, salt % 5);
                return false;
            case Mishap.Starve when receiver.InStream:
                receiver.Leave('F', 6, 0);
                return true;
            case Mishap.Reset:
                receiver.Reset(salt % 3);
                return true;
            case Mishap.Cut when receiver.InStream:
                receiver.Leave('F', 3, salt % 9, isCut: true);
                return false;
            case Mishap.Stop when receiver.InStream:
                receiver.Leave('S', 0, salt % 5);
                return true;
            case Mishap.Hardware when receiver.InStream:
                receiver.Leave('F', 8, salt % 5, isCut: salt % 2 == 0);
                return true;
            case Mishap.Interrupt:
                stop.Cancel();
                return true;
            case Mishap.LostMessage:
                deaf = salt % 4;
                return true;
            case Mishap.Silence:
                deaf = 60;
                return true;
            default:
                return true;
        }
    }

    private static void Judge(FakeReceiver receiver, CancellationToken cancellation)
    {
        try
        {
            SendReport report = Sending.Run(receiver, cancellation: cancellation);
            Assert.True(report.WasStopped || report.RecordsWritten == Sending.Total);
            Check(receiver, report.RecordsWritten, report.RecordsWritten, 0);
        }
        catch (CompileException fault)
        {
            Match written = Written().Match(fault.Message);
            Match unknown = Unknown().Match(fault.Message);
            Match cut = CutShort().Match(fault.Message);
            long known = fault.Message.Contains("every record is written", StringComparison.Ordinal) ? Sending.Total : Number(written);
            Assert.True(!unknown.Success || Number(unknown) > known);
            Check(receiver, known, unknown.Success ? Number(unknown) : known, Number(cut));
        }
        catch (OperationCanceledException)
        {
            Check(receiver, 0, 0, 0);
        }

        Assert.False(receiver.WasOverrun);
    }

    private static void Check(FakeReceiver receiver, long written, long possible, long cut)
    {
        var counts = receiver.Written.Where(r => r.Points > 0).GroupBy(r => r).ToDictionary(g => g.Key, g => g.Count());
        for (int i = 0; i < Sending.Total; i++)
        {
            DeflectionRecord record = Sending.Records[i];
            if (record.Points == 0)
            {
                continue;
            }

            int count = counts.GetValueOrDefault(record);
            Assert.InRange(count, 0, 1);
            Assert.True(i >= written || count == 1, $"record {i + 1} is not written");
            Assert.True(i < possible || count == 0, $"record {i + 1} is written");
            Assert.True(i + 1 == cut || (i >= written && i < possible) || !receiver.Cut.Contains(record), $"record {i + 1} was cut");
            Assert.True(i + 1 != cut || (count == 0 && receiver.Cut.Contains(record)), $"record {i + 1} was not cut");
        }
    }

    private static long Number(Match match) => match.Success ? long.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) : 0;

    [GeneratedRegex(@"; records 1 to (\d+) are written")]
    private static partial Regex Written();

    [GeneratedRegex(@"of records \d+ to (\d+) .*nothing is known")]
    private static partial Regex Unknown();

    [GeneratedRegex(@"record (\d+) \(.*was cut short")]
    private static partial Regex CutShort();
}
