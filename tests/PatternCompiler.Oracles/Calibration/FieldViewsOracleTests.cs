using System.Globalization;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Instrument;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>
/// Views of unknown marks against SciPy's nonlinear least squares with every mark's place as an unknown of its own: coefficients, their
/// standard errors and the noise.
/// </summary>
public sealed class FieldViewsOracleTests
{
    // Unknowns: the distortion's 16 numbers, turn and shift of each view but the first, all marks. Places in micrometres, u and v in half fields of 50 um.
    private const string Program = """
        import sys, numpy as np
        from scipy.optimize import least_squares
        rows = [line.split(',') for line in open(sys.argv[1]).read().split('\n')[1:] if line]
        names = list(dict.fromkeys(r[0] for r in rows))
        view = np.array([names.index(r[0]) for r in rows])
        drawn = np.array([[float(r[1]), float(r[2])] for r in rows])
        seen = np.array([[float(r[3]), float(r[4])] for r in rows])
        marks, mark = np.unique(drawn, axis=0, return_inverse=True)
        mark = mark.ravel()
        u, v = seen.T / 50
        high = [u * u, u * v, v * v, u**3, u * u * v, u * v * v, v**3]
        starts = np.array([float(a) for a in sys.argv[2].split()]) * np.pi / 180
        def landed(p):
            x = seen[:, 0] + p[0] * u + p[1] * v + sum(c * h for c, h in zip(p[2:9], high))
            y = seen[:, 1] + p[1] * u - p[0] * v + sum(c * h for c, h in zip(p[9:16], high))
            return x, y
        def left(p):
            poses = np.vstack([[starts[0], 0, 0], p[16:16 + 3 * (len(names) - 1)].reshape(-1, 3)])[view]
            places = p[16 + 3 * (len(names) - 1):].reshape(-1, 2)[mark]
            c, s = np.cos(poses[:, 0]), np.sin(poses[:, 0])
            x, y = landed(p)
            return np.concatenate([c * x + s * y - poses[:, 1] - places[:, 0], c * y - s * x - poses[:, 2] - places[:, 1]])
        begin = np.concatenate([np.zeros(16), np.column_stack([starts[1:], np.zeros((len(names) - 1, 2))]).ravel(), marks.ravel()])
        fit = least_squares(left, begin, method='lm', xtol=1e-15, ftol=1e-15, gtol=1e-15)
        variance = 2 * fit.cost / (len(fit.fun) - len(fit.x))
        errors = np.sqrt(variance * np.diag(np.linalg.inv(fit.jac.T @ fit.jac)))
        print(*[repr(float(x * 1000)) for x in (*fit.x[:16], *errors[:16], np.sqrt(variance))])
        """;

    [ScikitImageFact]
    public void Coefficients_errors_and_noise_agree()
    {
        var bent = new PolynomialCalibration(new FieldPolynomial(
            3, 50_000, [0, 50_120, 70, 200, -90, 40, 500, -60, 430, 20], [0, 70, 49_880, 30, 80, -150, 15, 520, 45, 610]));
        (string Name, double Degrees, double X, double Y)[] poses = [("straight", 0, 0, 0), ("turned", 90.7, -2000, 1500), ("right", -0.4, 15_000, 300), ("up", 0.3, -200, 14_500)];
        var dice = new VirtualLab.Dice(20, "views");
        var text = new StringBuilder("view, drawn x [um], drawn y [um], seen x [um], seen y [um]\n");
        foreach ((string name, double degrees, double x, double y) in poses)
        {
            (double sine, double cosine) = Math.SinCos(degrees * Math.PI / 180);
            for (int mark = 0; mark < 25; mark++)
            {
                (double drawnX, double drawnY) = (15_000.0 * (mark % 5 - 2), 15_000.0 * (mark / 5 - 2));
                (double markX, double markY) = (1.004 * drawnX + 50 * Math.Sin(7.3 * mark), 0.997 * drawnY + 50 * Math.Sin(2.9 * mark));
                if (bent.TryCommand(cosine * markX - sine * markY + x, sine * markX + cosine * markY + y, out double seenX, out double seenY))
                {
                    text.Append(CultureInfo.InvariantCulture, $"{name}, {drawnX / 1000}, {drawnY / 1000}, {(seenX + dice.Normal(0, 5)) / 1000:0.######}, {(seenY + dice.Normal(0, 5)) / 1000:0.######}\n");
                }
            }
        }

        string file = Path.GetTempFileName();
        try
        {
            File.WriteAllText(file, text.ToString());
            (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, file, string.Join(' ', poses.Select(pose => pose.Degrees.ToString(CultureInfo.InvariantCulture))));
            Assert.True(code == 0, errors);
            double[] theirs = [.. output.Split(' ').Select(part => double.Parse(part, CultureInfo.InvariantCulture))];
            MeasurementTable table = MeasurementTable.Read(new MemoryStream(Encoding.UTF8.GetBytes(text.ToString())), "views", FieldViews.WordColumns);
            FieldFit fit = SelfCalibration.Fit(FieldViews.Of(table, 50_000), 3, 50_000, null);
            (double[] x, double[] y) = ([.. fit.Polynomial.XNanometres], [.. fit.Polynomial.YNanometres]);
            FitParameter[] parameters = [.. fit.Parameters];
            double[] ours =
            [
                x[1] - 50_000, x[2], .. x[3..], .. y[3..],
                parameters[0].StandardError, parameters[1].StandardError, .. parameters[2..9].Select(p => p.StandardError), .. parameters[11..18].Select(p => p.StandardError),
                fit.Poses!.NoiseNanometres,
            ];
            Assert.Equal(theirs.Length, ours.Length);
            for (int i = 0; i < ours.Length; i++)
            {
                Assert.Equal(theirs[i], ours[i], 2e-3 * Math.Max(1, Math.Abs(theirs[i]) * 1e-2));
            }
        }
        finally
        {
            File.Delete(file);
        }
    }
}
