using System.Globalization;
using System.Text.Json;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Worked examples from the definitions of dose, through the real program: area dose D = I·t/(p·s), line dose D = I·t/s, dot
/// charge Q = I·t, and so beam-on time T = D·A/I (M. A. McCord, M. J. Rooks, ch. 2 of the SPIE Handbook of Microlithography,
/// Micromachining and Microfabrication, vol. 1, 1997; relations from memory, figures worked by hand).
/// </summary>
public sealed class WorkedExamplesTests
{
    // 200 µC/cm² in 10 nm steps at 100 pA are 2 µs a point; 300 µC/cm² in 20 nm steps at 1 nA are 1.2 µs; A = 100 µm².
    [Theory]
    [InlineData(200, 10, "100 pA", 2.0, 1_000_000)]
    [InlineData(300, 20, "1 nA", 1.2, 250_000)]
    public void Area(int dose, int step, string current, double microseconds, long points)
    {
        using JsonDocument estimate = Estimate(
            "rect on a from (0, 0) to (10, 10)", "--dose", $"{dose} uC/cm2", "--current", current, "--line-pitch", $"{step} nm", "--point-step", $"{step} nm");

        // Steps are lengths on a lattice of codes: a point may be split in two, the charge stays.
        Assert.InRange(estimate.RootElement.GetProperty("points").GetInt64(), points, points + 2);
        Assert.Equal(microseconds, 1e6 * ExposingSeconds(estimate) / points, 6);
        double coulombs = dose * 0.01 * 1e-10;
        Assert.Equal(coulombs, estimate.RootElement.GetProperty("chargeCoulombs").GetDouble(), 1e-6 * coulombs);
    }

    // 1 nC/cm at 50 pA over 10 µm: 20 µs for each 10 nm.
    [Fact]
    public void Line() => Assert.Equal(20.0 * 1000, 1e6 * ExposingSeconds(Estimate("line on a (0, 0) (10, 0)", "--current", "50 pA", "--point-step", "10 nm")), 3);

    [Fact]
    public void Dot() => Assert.Equal(50.0, 1e6 * ExposingSeconds(Estimate("dot on a at (0, 0)", "--current", "20 pA")), 6);

    private static double ExposingSeconds(JsonDocument estimate) => estimate.RootElement.GetProperty("time").GetProperty("exposingSeconds").GetDouble();

    private static JsonDocument Estimate(string shape, params string[] options)
    {
        using WorkFolder folder = new WorkFolder()
            .With("a.layout", string.Create(CultureInfo.InvariantCulture, $"layout 1\nunit um\nlayer a\n{shape}\n"))
            .With("p.yaml", "process: worked examples\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 1 fC}\nresist: {onset: 100 uC/cm2, clearing: 150 uC/cm2}\n");
        return JsonDocument.Parse(folder.Run(["estimate", "a.layout", "--process", "p.yaml", "--json", .. options]).Expect(0).Output);
    }
}
