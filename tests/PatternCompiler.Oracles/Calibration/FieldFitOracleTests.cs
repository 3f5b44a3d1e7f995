using System.Globalization;
using PatternCompiler.Calibration.Field;

namespace PatternCompiler.Oracles.Calibration;

/// <summary>Field polynomials against NumPy's least squares on the same marks: those of the example in several fields.</summary>
public sealed class FieldFitOracleTests
{
    // The design in units of half the field, 50 um; terms by rising order, in each from x's highest power to y's.
    private const string Program = """
        import sys, numpy as np
        marks = np.loadtxt(sys.argv[1], delimiter=',', skiprows=1) * 1000
        u, v = marks[:, 0] / 50000, marks[:, 1] / 50000
        for order in 1, 2, 3:
            a = np.stack([u**(n - k) * v**k for n in range(order + 1) for k in range(n + 1)], axis=1)
            inverse = np.linalg.inv(a.T @ a)
            hat = np.diag(a @ inverse @ a.T)
            out = []
            for axis in 2, 3:
                c, _, _, _ = np.linalg.lstsq(a, marks[:, axis], rcond=None)
                r = marks[:, axis] - a @ c
                s = np.sqrt(r @ r / (len(r) - a.shape[1]) * np.diag(inverse))
                out.append((c, s, r / (1 - hat)))
            loo = np.sqrt(np.mean(out[0][2]**2 + out[1][2]**2))
            print(*[repr(float(x)) for x in (*out[0][0], *out[1][0], *out[0][1], *out[1][1], loo)])
        """;

    [NumPyFact]
    public void Coefficients_errors_and_leave_one_out_agree()
    {
        string path = Path.Combine(Path.GetDirectoryName(OutsidePrograms.Corpus())!, "..", "examples", "multi-field", "marks.csv");
        FieldMark[] marks =
        [
            .. File.ReadLines(path).Skip(1).Select(line => line.Split(',').Select(part => double.Parse(part, CultureInfo.InvariantCulture) * 1000).ToArray())
                .Select(row => new FieldMark(row[0], row[1], row[2], row[3])),
        ];
        (int code, string output, string errors) = OutsidePrograms.Run(OutsidePrograms.Python, "-c", Program, path);
        Assert.True(code == 0, errors);
        string[] lines = output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        for (int order = 1; order <= 3; order++)
        {
            double[] theirs = [.. lines[order - 1].Split(' ').Select(part => double.Parse(part, CultureInfo.InvariantCulture))];
            FieldFit ours = FieldFitter.Fit(marks, order, 50_000);
            double[] all =
            [
                .. ours.Parameters.Select(parameter => parameter.Value),
                .. ours.Parameters.Select(parameter => parameter.StandardError),
                ours.LeaveOneOutRootMeanSquare,
            ];
            Assert.Equal(theirs.Length, all.Length);
            for (int i = 0; i < all.Length; i++)
            {
                Assert.Equal(theirs[i], all[i], 1e-6 * Math.Max(1, Math.Abs(theirs[i]) * 1e-3));
            }
        }
    }
}
