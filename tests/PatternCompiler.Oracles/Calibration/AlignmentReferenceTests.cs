using System.Globalization;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Tests;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// Alignments against others' estimates from the same noisy marks: the similarity of S. Umeyama, IEEE Trans. Pattern Anal. Mach. Intell. 13,
/// 376 (1991), by NumPy's singular values, and scikit-image's affine map, both of equal weights; weighted ones against NumPy's least squares.
/// </summary>
public sealed class AlignmentReferenceTests
{
    private static readonly int Tables = Iterations.Usually(20);

    // Eqs. 40 to 42 of the paper. The asymmetry: what it minimises is the distance of found places, as here.
    private const string Umeyama = """
        import sys, numpy as np
        for line in open(sys.argv[1]):
            t = np.array([float(v) for v in line.split()]).reshape(-1, 6)
            x, y = t[:, 0:2], t[:, 2:4]
            mx, my = x.mean(0), y.mean(0)
            u, d, vt = np.linalg.svd((y - my).T @ (x - mx) / len(x))
            s = np.diag([1, np.sign(np.linalg.det(u) * np.linalg.det(vt))])
            r = u @ s @ vt
            c = np.trace(np.diag(d) @ s) / ((x - mx)**2).sum(1).mean()
            o = my - c * r @ mx
            m = c * r
            print(*[repr(float(v)) for v in (m[0, 0], m[0, 1], o[0], m[1, 0], m[1, 1], o[1])])
        """;

    private const string Affine = """
        import sys, numpy as np
        from skimage.transform import AffineTransform
        for line in open(sys.argv[1]):
            t = np.array([float(v) for v in line.split()]).reshape(-1, 6)
            a = AffineTransform()
            assert a.estimate(t[:, 0:2], t[:, 2:4])
            p = a.params
            print(*[repr(float(v)) for v in (p[0, 0], p[0, 1], p[0, 2], p[1, 0], p[1, 1], p[1, 2])])
        """;

    private const string Weighted = """
        import sys, numpy as np
        for line in open(sys.argv[1]):
            t = np.array([float(v) for v in line.split()]).reshape(-1, 6)
            a = np.column_stack([t[:, 0:2], np.ones(len(t))])
            out = []
            for axis in 0, 1:
                w = 1 / t[:, 4 + axis]
                c = np.linalg.lstsq(a * w[:, None], t[:, 2 + axis] * w, rcond=None)[0]
                out += list(c)
            # standard errors of the offsets, by the covariance of stated errors
            for axis in 0, 1:
                w = 1 / t[:, 4 + axis]**2
                out.append(np.sqrt(np.linalg.inv(a.T @ (a * w[:, None]))[2, 2]))
            print(*[repr(float(v)) for v in out])
        """;

    [NumPyFact]
    public void A_similarity_is_Umeyamas() => Compare(Umeyama, AlignmentModel.Similarity, isWeighted: false);

    /// <summary>What scikit-image minimises lets wanted places err, too (total least squares by singular values): the two part by the square of noise over spread, some 1e-8 of the field, where they agree to a hundredth of the noise.</summary>
    [ScikitImageFact]
    public void An_affine_map_is_that_of_scikit_image() => Compare(Affine, AlignmentModel.Affine, isWeighted: false, 0.05);

    [NumPyFact]
    public void Weights_are_those_of_stated_errors() => Compare(Weighted, AlignmentModel.Affine, isWeighted: true);

    private static void Compare(string program, AlignmentModel model, bool isWeighted, double toleranceNanometres = 1e-5)
    {
        AlignmentMark[][] tables = [.. Enumerable.Range(0, Tables).Select(seed => Draw(seed, isWeighted))];
        string path = Path.GetTempFileName();
        File.WriteAllLines(path, tables.Select(marks => string.Join(' ', marks.SelectMany(mark => new[] { mark.WantedX, mark.WantedY, mark.FoundX, mark.FoundY, mark.ErrorX, mark.ErrorY }).Select(
            value => value.ToString("R", CultureInfo.InvariantCulture)))));
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", program, path);
        File.Delete(path);
        Assert.True(code == 0, errors);
        string[] lines = output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.Equal(Tables, lines.Length);
        for (int seed = 0; seed < Tables; seed++)
        {
            double[] theirs = [.. lines[seed].Split(' ').Select(value => double.Parse(value, CultureInfo.InvariantCulture))];
            AlignmentMark[] marks = isWeighted ? tables[seed] : [.. tables[seed].Select(mark => mark with { ErrorX = double.NaN, ErrorY = double.NaN })];
            AlignmentFit ours = AlignmentFitter.Fit(marks, model, new DiagnosticSink());
            Assert.All(ours.Marks, mark => Assert.Equal(MarkState.Used, mark.State));
            var other = new LayerPlacement(theirs[0], theirs[1], theirs[2], theirs[3], theirs[4], theirs[5]);
            foreach ((double x, double y) in new[] { (0.0, 0.0), (50_000, 0), (0, 50_000), (-50_000, -50_000) })
            {
                Assert.Equal(other.Land(x, y).X, ours.Placement.Land(x, y).X, toleranceNanometres);
                Assert.Equal(other.Land(x, y).Y, ours.Placement.Land(x, y).Y, toleranceNanometres);
            }

            if (isWeighted)
            {
                Assert.Equal(theirs[6], ours.Parameters[0].StandardError, 1e-6);
                Assert.Equal(theirs[7], ours.Parameters[1].StandardError, 1e-6);
            }
        }
    }

    private static AlignmentMark[] Draw(int seed, bool isWeighted)
    {
        var random = new Random(seed);
        var truth = LayerPlacement.Of(Even(2000), Even(2000), Even(2), 1 + Even(0.01), 1 + Even(0.01), Even(0.005));
        return
        [
            .. Enumerable.Range(0, 8).Select(i =>
            {
                (double wantedX, double wantedY) = (Even(45_000), Even(45_000));
                (double x, double y) = truth.Land(wantedX, wantedY);
                (double errorX, double errorY) = isWeighted ? (2 + 8 * random.NextDouble(), 2 + 8 * random.NextDouble()) : (5, 5);
                return new AlignmentMark($"m{i}", wantedX, wantedY, x + errorX * Even(1.2), y + errorY * Even(1.2), errorX, errorY);
            }),
        ];

        double Even(double largest) => largest * (2 * random.NextDouble() - 1);
    }
}
