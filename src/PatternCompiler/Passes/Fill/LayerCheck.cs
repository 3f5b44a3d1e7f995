using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Passes.Fill;

/// <summary>Refuses fill settings of a layer that make no sense, or that need a machine where none is known.</summary>
internal static class LayerCheck
{
    private const int MostPasses = 1000;

    /// <exception cref="CompileException">They are refused.</exception>
    public static void Run(string layer, LayerFill fill, LayerAxes axes, CodeLattice? lattice)
    {
        RequireSpacing(layer, "line pitch", fill.LinePitch, fill, lattice);
        RequireSpacing(layer, "point step", fill.PointStep, fill, lattice);
        RequireCount(layer, "number of passes", fill.Passes);
        RequireCount(layer, "interlace", fill.Interlace);
        if (!fill.StaggersPasses)
        {
            return;
        }

        if (lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"the passes of layer {layer} are to be staggered by parts of a code, but no machine says how large a code is",
                fix: "name the machine, or do not stagger the passes");
        }

        if (axes.AreOnCodes)
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"the passes of layer {layer} are to be staggered, but its lines or points stand on codes already",
                fix: "choose the rounded placement, or do not stagger the passes");
        }
    }

    /// <summary>Refuses waiting for a trigger that is not there, and phases that no trigger starts.</summary>
    /// <exception cref="CompileException">They are refused.</exception>
    public static void RequireTrigger(string layer, LayerFill fill, TriggerInput? trigger)
    {
        if (fill.Trigger == TriggerUnit.None && (fill.SpreadsPasses || fill.TriggerDelaySeconds > 0))
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"{(fill.SpreadsPasses ? "the passes" : "the lines")} of layer {layer} are to start some time after a trigger, but nothing waits for one",
                fix: "say with 'fill.trigger' what waits, for example row, or leave out the rest");
        }

        if (fill.SpreadsPasses && fill.Passes < 2)
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"the passes of layer {layer} are to be spread over the trigger's period, but there is one pass",
                fix: "ask for 2 passes or more with 'fill.passes'");
        }

        if (fill.Trigger != TriggerUnit.None && trigger is null)
        {
            throw new CompileException(
                FillCodes.NoTrigger,
                $"layer {layer} is to wait for the trigger input, but the machine has none",
                fix: "add 'trigger' to the machine file if the controller has such an input, or set 'fill.trigger' to none");
        }
    }

    private static void RequireCount(string layer, string what, int count)
    {
        if (count is < 1 or > MostPasses)
        {
            throw new CompileException(
                FillCodes.BadSetting, $"the {what} of layer {layer} is {count}", fix: $"give a number from 1 to {MostPasses}");
        }
    }

    private static void RequireSpacing(string layer, string what, Spacing spacing, LayerFill fill, CodeLattice? lattice)
    {
        if (spacing.IsInCodes && lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"the {what} of layer {layer} is {spacing.Codes} codes, but no machine says how large a code is",
                fix: "name the machine, or give the spacing in nanometres");
        }

        if (!spacing.IsInCodes && fill.Placement == CodePlacement.Centre && !fill.Strategy.SharesPixels)
        {
            throw new CompileException(
                FillCodes.BadSetting,
                $"the {what} of layer {layer} is a length, but the centre rule places on codes",
                fix: "give the spacing in codes, or choose another placement");
        }

        if (fill.Placement == CodePlacement.Weighted && lattice is null)
        {
            throw new CompileException(
                FillCodes.NoLattice,
                $"layer {layer} is to be placed on codes, but no machine says where codes stand",
                fix: "name the machine, or choose another placement");
        }

        // 1 pm is far below anything a beam resolves; smaller values are unit mistakes that would only run out of memory.
        if (spacing.IsInCodes ? spacing.Codes < 1 : !(spacing.Nanometres >= 0.001))
        {
            string found = spacing.IsInCodes ? $"{spacing.Codes} codes" : $"{NumberText.Format(spacing.Nanometres)} nm";
            throw new CompileException(
                FillCodes.BadSetting,
                $"the {what} of layer {layer} is {found}",
                fix: "give a spacing of at least 0.001 nm or 1 code");
        }
    }
}
