using System.Globalization;
using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Instrument;

/// <summary>
/// Closed forms of RC and two-pole responses with memory against SciPy: scipy.signal.lsim of the transfer function Σ a/(1 + s·τ) with the
/// commands held, and scipy.integrate.solve_ivp of the circuit's own differential equations.
/// </summary>
public sealed class ScanResponseTests
{
    private const int Moves = 200;
    private const double Step = 2e-6;

    private const string Program = """
        import sys, numpy as np
        from scipy.signal import lsim, StateSpace
        from scipy.integrate import solve_ivp
        parts = [(0.85, 5e-6), (0.1, 4e-5), (0.05, 2e-4)]
        step = 2e-6
        data = [line.split() for line in open(sys.argv[1])]
        goals = [float(a) for a, _ in data]
        steps = [int(b) for _, b in data]
        u = np.concatenate([np.full(n, g) for g, n in zip(goals, steps)] + [[goals[-1]]])
        t = np.arange(len(u)) * step
        a = np.diag([-1 / tau for _, tau in parts])
        b = np.array([[p / tau] for p, tau in parts])
        c = np.ones((1, len(parts)))
        _, y, _ = lsim(StateSpace(a, b, c, [[0]]), u, t, interp=False)
        ends = np.cumsum(steps)
        state = np.zeros(len(parts))
        for i, (goal, n) in enumerate(zip(goals, steps)):
            state = solve_ivp(lambda _, s: [(p * goal - x) / tau for (p, tau), x in zip(parts, s)], (0, n * step), state, rtol=1e-11, atol=1e-9, method='DOP853').y[:, -1]
            print(repr(float(y[ends[i]])), repr(float(state.sum())))
        """;

    [ScikitImageFact]
    public void A_sum_of_exponentials_is_what_scipy_integrates()
    {
        var random = new Random(7);
        (double Goal, int Steps)[] moves = [.. Enumerable.Range(0, Moves).Select(_ => (Math.Round(100_000 * (random.NextDouble() - 0.5), 3), 1 + random.Next(60)))];
        AxisMotion motion = AxisMotion.AlongX(new SettleModel(0, 2e-4, 0) { ResponseX = [new(0.85, 5e-6), new(0.1, 4e-5), new(0.05, 2e-4)] });
        string[] lines = Run(Program, moves.Select(move => string.Create(CultureInfo.InvariantCulture, $"{move.Goal} {move.Steps}")));
        Assert.Equal(Moves, lines.Length);
        foreach (((double goal, int steps), string line) in moves.Zip(lines))
        {
            motion.Send(goal);
            motion.Pass(steps * Step);
            double[] theirs = [.. line.Split(' ').Select(text => double.Parse(text, CultureInfo.InvariantCulture))];
            Assert.Equal(theirs[0], motion.Place, 1e-5);
            Assert.Equal(theirs[1], motion.Place, 1e-3);
        }
    }

    private static string[] Run(string program, IEnumerable<string> lines)
    {
        string file = Path.GetTempFileName();
        try
        {
            File.WriteAllLines(file, lines);
            (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", program, file);
            Assert.True(code == 0, errors);
            return output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        }
        finally
        {
            File.Delete(file);
        }
    }
}
