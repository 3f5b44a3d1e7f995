using PatternCompiler.Instrument;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Passes.Fill;

/// <summary>Where the lines and points of a layer stand: a plan for each axis, whichever of them lines run along.</summary>
internal sealed class LayerAxes
{
    private const double FemtometresPerNanometre = 1e6;

    private readonly LayerFill fill;
    private readonly CodeLattice? lattice;
    private readonly DacMapping? unevenField;
    private readonly AxisPlan pitchAlongX;
    private readonly AxisPlan pitchAlongY;
    private readonly AxisPlan stepAlongX;
    private readonly AxisPlan stepAlongY;

    private LayerAxes(LayerFill fill, CodeLattice? lattice, DacMapping? unevenField)
    {
        this.fill = fill;
        this.lattice = lattice;
        this.unevenField = unevenField;
        pitchAlongX = AxisPlan.Of(fill.LinePitch, fill.Placement, lattice?.X);
        pitchAlongY = AxisPlan.Of(fill.LinePitch, fill.Placement, lattice?.Y);
        stepAlongX = AxisPlan.Of(fill.PointStep, fill.Placement, lattice?.X);
        stepAlongY = AxisPlan.Of(fill.PointStep, fill.Placement, lattice?.Y);
    }

    /// <summary>True if lines or points stand on codes.</summary>
    public bool AreOnCodes => pitchAlongX.Rule != AxisRule.Free || stepAlongX.Rule != AxisRule.Free;

    /// <summary>True if they stand on codes whose places change across the field.</summary>
    public bool AreUneven => unevenField is not null && AreOnCodes;

    /// <param name="fill">The layer's settings.</param>
    /// <param name="lattice">Where codes stand, if that is known.</param>
    /// <param name="unevenField">The field, where the lattice holds near its centre only.</param>
    public static LayerAxes Of(LayerFill fill, CodeLattice? lattice, DacMapping? unevenField) => new(fill, lattice, unevenField);

    /// <summary>Spacing of the lines.</summary>
    public AxisPlan Pitch(bool linesAlongX) => linesAlongX ? pitchAlongY : pitchAlongX;

    /// <summary>Spacing of the points along a line.</summary>
    public AxisPlan Step(bool linesAlongX) => linesAlongX ? stepAlongX : stepAlongY;

    /// <inheritdoc cref="LayerPlan.Near"/>
    public (LayerAxes Axes, double DeviationCodes)? Near(double left, double bottom, double right, double top) =>
        AreUneven && LocalLattice.Of(unevenField!, left, bottom, right, top) is LocalLattice local
            ? (new LayerAxes(fill, local.Lattice, unevenField), local.DeviationCodes)
            : null;

    /// <summary>A part of a code in both axes, in femtometres; nothing where codes are not known.</summary>
    public (long X, long Y) PartOfCode(double part) => lattice is null
        ? (0, 0)
        : ((long)Math.Round(part * lattice.X.StepFemtometres), (long)Math.Round(part * lattice.Y.StepFemtometres));
}
