using System.Globalization;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// Stages fitted to noisy readings, against others' estimates from the same tables: affine maps and backlash with its standard error by NumPy's
/// least squares, similarities by S. Umeyama, IEEE Trans. Pattern Anal. Mach. Intell. 13, 376 (1991), with NumPy's singular values.
/// </summary>
public sealed class StageReferenceTests
{
    private static readonly int Tables = Iterations.Usually(20);

    // Rows: place under the beam, reading, whether it was come down to. The frame from those come up to, readings counted from their mean.
    private const string Affine = """
        import sys, numpy as np
        for line in open(sys.argv[1]):
            t = np.array([float(v) for v in line.split()]).reshape(-1, 5)
            up = t[t[:, 4] == 0]
            m = up[:, 2:4].mean(0)
            a = np.column_stack([up[:, 2:4] - m, np.ones(len(up))])
            cx, cy = (np.linalg.lstsq(a, up[:, k], rcond=None)[0] for k in (0, 1))
            out = [cx[0], cx[1], cx[2], cy[0], cy[1], cy[2], m[0], m[1]]
            b = np.column_stack([t[:, 0:2] / 1e4, np.ones(len(t)), t[:, 4]])
            for k in 2, 3:
                y = t[:, k] - m[k - 2]
                c, r, _, _ = np.linalg.lstsq(b, y, rcond=None)
                s = np.linalg.inv(b.T @ b)[3, 3] * ((y - b @ c)**2).sum() / (len(y) - 4)
                out += [-c[3], np.sqrt(s)]
            print(*[repr(float(v)) for v in out])
        """;

    private const string Umeyama = """
        import sys, numpy as np
        for line in open(sys.argv[1]):
            t = np.array([float(v) for v in line.split()]).reshape(-1, 5)
            t = t[t[:, 4] == 0]
            x, y = t[:, 2:4], t[:, 0:2]
            mx, my = x.mean(0), y.mean(0)
            u, d, vt = np.linalg.svd((y - my).T @ (x - mx) / len(x))
            s = np.diag([1, np.sign(np.linalg.det(u) * np.linalg.det(vt))])
            m = u @ s @ vt * (np.trace(np.diag(d) @ s) / ((x - mx)**2).sum(1).mean())
            print(*[repr(float(v)) for v in (m[0, 0], m[0, 1], my[0], m[1, 0], m[1, 1], my[1], mx[0], mx[1])])
        """;

    [NumPyFact]
    public void An_affine_stage_and_its_backlash_are_those_of_least_squares() => Compare(Affine, AlignmentModel.Affine, canMirror: true, 20);

    /// <summary>These stages are skewed, too, which no similarity follows: errors are stated so large that no reading is left out for it.</summary>
    [NumPyFact]
    public void A_similarity_is_Umeyamas() => Compare(Umeyama, AlignmentModel.Similarity, canMirror: false, 1e5);

    private static void Compare(string program, AlignmentModel model, bool canMirror, double statedError)
    {
        StageReading[][] tables = [.. Enumerable.Range(0, Tables).Select(seed => Draw(seed, canMirror, statedError))];
        string path = Path.GetTempFileName();
        File.WriteAllLines(path, tables.Select(readings => string.Join(' ', readings.SelectMany(r => new[] { r.Under.X, r.Under.Y, r.ReadingX, r.ReadingY, r.FromAboveX ? 1 : 0 }).Select(
            value => value.ToString("R", CultureInfo.InvariantCulture)))));
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", program, path);
        File.Delete(path);
        Assert.True(code == 0, errors);
        string[] lines = output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(Tables, lines.Length);
        for (int seed = 0; seed < Tables; seed++)
        {
            double[] theirs = [.. lines[seed].Split(' ').Select(value => double.Parse(value, CultureInfo.InvariantCulture))];
            StageFit ours = StageFitter.Fit(tables[seed], model, new DiagnosticSink());
            foreach ((double x, double y) in new[] { (0.0, 0.0), (93_000, 0), (0, 93_000), (-1e6, 2e6) })
            {
                (double placeX, double placeY) = ours.Stage.PlaceAt(theirs[6] + x, theirs[7] + y);
                Assert.Equal((theirs[0] * x) + (theirs[1] * y) + theirs[2], placeX, 1e-4);
                Assert.Equal((theirs[3] * x) + (theirs[4] * y) + theirs[5], placeY, 1e-4);
            }

            if (theirs.Length > 8)
            {
                Assert.Equal(theirs[8], ours.BacklashX!.Value, 1e-5);
                Assert.Equal(theirs[9], ours.BacklashX.StandardError, 1e-5);
                Assert.Equal(theirs[10], ours.BacklashY!.Value, 1e-5);
                Assert.Equal(theirs[11], ours.BacklashY.StandardError, 1e-5);
            }
        }
    }

    private static StageReading[] Draw(int seed, bool canMirror, double statedError)
    {
        var random = new Random(seed);
        var truth = new Stage(1, 1)
        {
            Frame = LayerPlacement.Of(0, 0, Even(20), 1 + Even(0.05), 1 + Even(0.05), Even(0.02)), OriginNanometres = (Even(2e7), Even(2e7)),
            InvertX = canMirror && random.Next(2) == 0, InvertY = canMirror && random.Next(2) == 0,
        };
        return
        [
            .. Enumerable.Range(0, 12).Select(i =>
            {
                (double x, double y) = (Even(45_000), Even(45_000));
                (double readX, double readY) = truth.ReadingAt(x, y);
                bool isAbove = i >= 8;
                return new StageReading(
                    $"m{i}", 0, 0, -x + Even(15), -y + Even(15), readX - (isAbove ? 3000 : 0) + Even(15), readY - (isAbove ? 2000 : 0) + Even(15), statedError, statedError, isAbove, isAbove, double.NaN);
            }),
        ];

        double Even(double largest) => largest * ((2 * random.NextDouble()) - 1);
    }
}
