using System.Globalization;
using System.Text;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// The receiver in Verilog against the one in C, action for action: what an instrument at their pins sees, tick by tick, and every
/// byte that they say, over the vectors and over the same seeded faults.
/// </summary>
public sealed class LogicTests(CReceiver receiver, LogicReceiver logic) : IClassFixture<CReceiver>, IClassFixture<LogicReceiver>
{
    private const int Seed = 1;
    private const int Runs = 2000;

    // An interpreter takes a fifth of a second for each.
    private const int InterpretedRuns = 40;
    private static readonly int MoreInterpretedRuns = Environment.GetEnvironmentVariable("PATTERNC_LONG_TESTS") is { Length: > 0 } ? Runs : InterpretedRuns;

    [VerilatorFact]
    public void Under_Verilator_it_does_what_the_receiver_in_C_does_under_every_fault()
    {
        string script = receiver.Faults(Seed, Runs, isClean: false);
        AssertSame(receiver.Bench(script), logic.Verilated(script));
    }

    [IcarusFact]
    public void Under_Icarus_it_does_what_the_receiver_in_C_does_under_faults()
    {
        string script = receiver.Faults(Seed, MoreInterpretedRuns, isClean: false);
        AssertSame(receiver.Bench(script), logic.Interpreted(script));
    }

    [VerilatorFact]
    public void Under_Verilator_it_writes_the_vectors_as_the_receiver_in_C_does()
    {
        string script = VectorScript();
        string log = receiver.Bench(script);
        AssertSame(log, logic.Verilated(script));
        Assert.Equal(ReceiverTests.Vectors.Count, BenchLog.Read(log, script).Count);
    }

    [VerilatorFact]
    public void It_is_plain_Verilog_2001_without_a_warning()
    {
        Lint("exposure_receiver");
        Lint("board");
        Lint("board", "-GHAS_SPI=1");
        Assert.All(LogicReceiver.Modules, file => Assert.StartsWith("//", File.ReadAllText(file), StringComparison.Ordinal));
    }

    // Files hold more than one module where these belong together.
    private void Lint(string top, params string[] parameters) => logic.Succeed(
        "verilator", "", ["--lint-only", "-Wall", "-Wno-DECLFILENAME", "--language", "1364-2001", "--top-module", top, .. parameters, .. LogicReceiver.Modules]);

    // The vectors on a board of the level that they state; long ones as far as 200,000 ticks.
    private static string VectorScript()
    {
        var script = new StringBuilder();
        int number = 0;
        foreach (object[] row in ReceiverTests.Vectors)
        {
            (string name, int bits, int coding, int level) = ((string)row[0], (int)row[1], (int)row[2], (int)row[3]);
            script.Append(CultureInfo.InvariantCulture, $"s {bits + 256 * coding + 65536 * (level == 0 ? 1 : level)}\nn {number++}\n");
            foreach (byte value in File.ReadAllBytes(Path.Combine(CReceiver.Vectors, $"{name}.stream")))
            {
                script.Append(CultureInfo.InvariantCulture, $"b {value}\nt 3\n");
            }

            script.Append("u 200000\nm 600\n");
        }

        return script.ToString();
    }

    private static void AssertSame(string expected, string found)
    {
        string[] right = expected.Split('\n');
        string[] lines = found.Split('\n');
        int same = right.Zip(lines).TakeWhile(pair => pair.First == pair.Second).Count();
        string run = right.Take(same).LastOrDefault(line => line.StartsWith("run ", StringComparison.Ordinal)) ?? "before the first run";
        Assert.True(
            same == right.Length && same == lines.Length,
            $"seed {Seed}, {run}, line {same + 1}: expected {right.ElementAtOrDefault(same)}, found {lines.ElementAtOrDefault(same)}");
    }
}
