using PatternCompiler.Model.Figures;

namespace PatternCompiler.Passes.Proximity;

/// <summary>How a layer is written, against the base doses of the process.</summary>
/// <param name="Area">Dose of areas over the base dose.</param>
/// <param name="Line">Dose of single lines over the base dose.</param>
/// <param name="Dot">Charge of dots over the base charge.</param>
/// <param name="SmallestArea">
/// Dose of areas over the base dose that the layer's points have at the shortest dwell of the controller: less cannot be
/// written without coarser points.
/// </param>
internal sealed record LayerDose(double Area, double Line, double Dot, double SmallestArea)
{
    /// <summary>The base doses, on a machine without a shortest dwell.</summary>
    public static LayerDose Base { get; } = new(1, 1, 1, 0);

    /// <summary>Factor for one kind of figure.</summary>
    internal double Of(FigureKind kind) => kind switch
    {
        FigureKind.Line => Line,
        FigureKind.Dot => Dot,
        _ => Area,
    };
}
