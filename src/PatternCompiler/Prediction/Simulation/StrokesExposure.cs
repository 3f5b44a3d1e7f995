using PatternCompiler.Model;
using PatternCompiler.Model.Strokes;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Prediction.Simulation;

/// <summary>Deposits the charge of strokes exactly where they ask for it: a perfect machine.</summary>
internal sealed class StrokesExposure(ChargeMap map) : IDocumentSink<StrokesHeader, Stroke>
{
    private const double NanometresPerFemtometre = 1e-6;

    /// <inheritdoc/>
    public void Begin(StrokesHeader header)
    {
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<Stroke> items)
    {
        foreach (ref readonly Stroke stroke in items)
        {
            double x = stroke.XFemtometres * NanometresPerFemtometre;
            double y = stroke.YFemtometres * NanometresPerFemtometre;
            double dx = (stroke.EndXFemtometres - stroke.XFemtometres) * NanometresPerFemtometre;
            double dy = (stroke.EndYFemtometres - stroke.YFemtometres) * NanometresPerFemtometre;
            double charge = stroke.ChargeZeptocoulombs * ExposureArithmetic.CoulombsPerZeptocoulomb / Math.Max(1, stroke.Points);
            for (int i = 0; i < stroke.Points; i++)
            {
                double part = stroke.Points == 1 ? 0 : (double)i / (stroke.Points - 1);
                map.Deposit(x + part * dx, y + part * dy, charge);
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
    }
}
