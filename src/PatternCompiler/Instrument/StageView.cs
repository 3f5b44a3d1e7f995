using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Instrument;

/// <summary>A write field as the beam sees it from where the stage stands.</summary>
/// <param name="Stop">Where the stage stands, and what is then under the undeflected beam.</param>
/// <param name="Target">Where the field's centre lies, along the beam's axes.</param>
/// <param name="FocusNanometres">Reading of the working distance at which it is in focus; null where it is not known.</param>
/// <param name="Placement">What the deflection makes of the drawing there, from the field's centre; null for nothing.</param>
internal sealed record StageView(StageStop Stop, (double X, double Y) Target, double? FocusNanometres, LayerPlacement? Placement)
{
    /// <summary>What the deflection takes up because the stage does not stand where it should.</summary>
    public (double X, double Y) Remainder => (Target.X - Stop.Place.X, Target.Y - Stop.Place.Y);

    /// <summary>Looks at a field.</summary>
    /// <param name="machine">The machine, the job's alignment in its deflection.</param>
    /// <param name="field">Name of the field.</param>
    /// <param name="centreX">Its centre on the drawing, in nanometres.</param>
    /// <param name="centreY">Its centre on the drawing, in nanometres.</param>
    /// <exception cref="CompileException">The field's height is beyond use.</exception>
    public static StageView Of(Machine machine, string field, double centreX, double centreY)
    {
        LayerAlignment? alignment = machine.Deflection.Alignment;
        (double X, double Y) target = alignment?.Sample?.Land(centreX, centreY) ?? (centreX, centreY);
        StageStop stop = machine.Stage?.StopAt(target.X, target.Y) ?? new StageStop(target, target);
        double? focus = alignment?.Focus?.At(centreX, centreY);
        LayerPlacement? placement = alignment?.Whole?.From(centreX, centreY, stop.Place)
            ?? (stop.Place == target ? null : LayerPlacement.Identity.From(centreX, centreY, stop.Place));
        return new StageView(stop, target, focus, ScaleOf(machine.Stage?.Height, focus, field) is double scale and not 1 ? (placement ?? LayerPlacement.Identity).InFieldOf(scale) : placement);
    }

    /// <summary>What of the stage changes records.</summary>
    public static IEnumerable<SettingLine> LinesOf(Machine machine)
    {
        LayerAlignment? alignment = machine.Deflection.Alignment;
        if (machine.Stage is not { } stage)
        {
            yield break;
        }

        if (stage.LeavesRemainders || (stage.StepNanometres > 0 && alignment?.Sample is not null))
        {
            yield return stage.Line;
        }

        if (stage.Height is { } height && alignment?.Focus is { } plane)
        {
            yield return new SettingLine("height", [height.FocusNanometres, height.ScalePerNanometre, .. plane.Numbers]);
        }
    }

    private static double? ScaleOf(FieldHeight? height, double? focus, string field) => height is null || focus is not double reading
        ? null
        : height.ScaleAt(reading) ?? throw new CompileException(
            FieldCodes.BeyondHeight,
            string.Create(CultureInfo.InvariantCulture, $"write field {field} is in focus at {reading * 1e-6:0.####} mm, and the field is known about {height.FocusNanometres * 1e-6:0.####} mm"),
            default,
            "correct 'sample.focus' in the job or 'stage.height' in the machine file; lengths carry units");
}
