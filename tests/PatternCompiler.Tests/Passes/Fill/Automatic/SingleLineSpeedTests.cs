using PatternCompiler.Diagnostics;
using PatternCompiler.Geometry;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fill.Automatic;
using PatternCompiler.Units;

namespace PatternCompiler.Tests.Passes.Fill.Automatic;

/// <summary>
/// Single lines of 1 nC/cm run at 10 mm/s with 1 nA, and at twice that where their dose factor is a half, whatever the spacing. An area of 250 µC/cm²
/// beside them is slower: 5 mm/s from a pitch of 80 nm on.
/// </summary>
public sealed class SingleLineSpeedTests
{
    [Theory]
    [InlineData(1, 1e7, 0, null)]
    [InlineData(1, 0.99e7, 0, "whatever the point step, single lines would mean a beam of 10 mm/s along the lines, faster than the deflection's 9.9 mm/s")]
    [InlineData(0.5, 2e7, 0, null)]
    [InlineData(0.5, 1.98e7, 0, "whatever the point step, single lines would mean a beam of 20 mm/s along the lines, faster than the deflection's 19.8 mm/s")]
    [InlineData(1, 1e9, 1e-6, null)]
    [InlineData(1, 1e9, 1.01e-6, "whatever the point step, single lines would mean a beam that lags 10.1 nm behind, more than half the spot of 20 nm")]
    [InlineData(10, 1e6, 0, ", the widest with an even dose, would mean a beam of 4.")]
    [InlineData(10, 1e9, 1e-5, ", the widest with an even dose, would mean a beam that lags 4")]
    public void Lines_too_fast_for_the_deflection_are_told_from_areas(double factor, double fastest, double lag, string? told)
    {
        FillOptions options = FillCase.With(FillCase.Options.AllLayers with { LinePitch = Spacing.Automatic, PointStep = Spacing.Automatic }) with
        {
            Lattice = new CodeLattice(new CodeAxis(0, 1e6), new CodeAxis(0, 1e6)),
            Limits = new SpacingLimits(1e-9, 1e-9, 1e7, 5, 1L << 40, 20, 100 / 2.3548200450309493) { FastestNanometresPerSecond = fastest, LagSeconds = lag },
        };
        Figure[] figures = [FillCase.Rectangle(0, 0, 20_000, 20_000), Figure.FromLine(0, new DoseFactor((int)(factor * 1e6)), new GridPoint(0, 50_000), new GridPoint(9_000, 50_000))];
        string? fault = (Record.Exception(() => SpacingPass.Run(new FiguresDocument(new FiguresHeader(100, ["pattern"]), figures), options, new DiagnosticSink(), CancellationToken.None)) as CompileException)?.Message;
        Assert.Equal(told is null, fault is null);
        Assert.Contains(told ?? "", fault ?? "", StringComparison.Ordinal);
    }
}
