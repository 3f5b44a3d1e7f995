using System.CommandLine;
using PatternCompiler.Calibration.Alignment;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.StageFrame;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary>Fits of where things lie: the layer below under the beam, the stage's axes in the beam's field, a sample on the stage.</summary>
internal static class FitPlaces
{
    /// <summary>Where the layer below lies in the field.</summary>
    public static PatternCommand Alignment()
    {
        ChoiceOption<AlignmentModel> model = Model("affine from four marks on, similarity from two");
        Option<Quantity?> fieldError = QuantityOption.CreateWithin(
            "--field-error", "Standard error of any place in the field, as its calibration leaves it, beside each mark's own; 5 nm if absent.", new(0, Unit.Nanometre), new(10_000, Unit.Nanometre));
        return FitCommand.Complete(
            new PatternCommand("alignment", "Fit where the layer below lies, from its marks.")
            {
                Details = "Columns: name of each mark, where the drawing has it, where the beam has found it, and its standard error, such as \"mark, wanted x [um], wanted y [um], found x [um], found y [um], uncertainty [nm]\"; or 'uncertainty x [nm]' and 'uncertainty y [nm]'; or none, and errors are taken from what the fit leaves. Both places found are left empty for a mark that its picture does not show. "
                    + "The fragment goes into the job of the next layer, or is named by it ('alignment: FILE'): places of the drawing are then written where the marks say. "
                    + "A mark that lies elsewhere than all others say is left out by name where that can be told: of five marks and more by an affine map, of four by a similarity. 'patternc generate looks' makes the exposure that looks at marks.",
                Examples =
                [
                    new("patternc fit alignment marks.csv -o alignment.yaml", "offset, rotation, scales and skew, for the job"),
                    new("patternc fit alignment marks.csv --model similarity --plot marks.png", "one scale and no skew, with a map of what was found and what is left"),
                ],
                Options = { model, fieldError },
            },
            MarkTable.WordColumns,
            (table, result, context) =>
            {
                AlignmentFit fit = AlignmentFitter.Fit(
                    MarkTable.Of(table, result.GetValue(fieldError)?.In(Unit.Nanometre)), result.GetValue(model) is null ? null : model.In(result), context.Sink);
                return new FitCommand.Fitted(AlignmentText.Of(fit), () => AlignmentPlot.Compose(fit));
            });
    }

    /// <summary>How the stage's axes lie in the beam's field.</summary>
    public static PatternCommand Stage()
    {
        ChoiceOption<AlignmentModel> model = Model("affine from three readings on, else similarity");
        return FitCommand.Complete(
            new PatternCommand("stage", "Fit how the axes of the stage lie in the beam's field, and its backlash.")
            {
                Details = "Columns: a mark, what the stage reads, and where in the beam's field the mark was seen then, from the field's middle, such as \"mark, reading x [mm], reading y [mm], seen x [um], seen y [um]\". One mark does: bring it to the middle and to the corners of the field. Marks whose places along the beam's axes are known may have 'place x [um]' and 'place y [um]' instead or besides: those that this beam has written since the sample was loaded. Two readings tell rotation and scale, three skew and both scales, five one that is wrong. 'uncertainty [nm]' holds standard errors. "
                    + "All readings are come to from below (the reading rises) or all from above; 'from x' and 'from y' say the side. Some from the other side tell the backlash, 'above' in one column or both. "
                    + "The fragment belongs to the machine file; how each sample lies on the stage is another thing ('fit sample').",
                Examples =
                [
                    new("patternc fit stage readings.csv", "origin, rotation, scales, skew and backlash to paste into 'stage' of the machine file"),
                    new("patternc fit stage readings.csv --model similarity --plot stage.png", "one scale and no skew, with a map of what is left"),
                ],
                Options = { model },
            },
            StageReadings.WordColumns,
            (table, result, context) =>
            {
                StageFit fit = StageFitter.Fit(StageReadings.Of(table), result.GetValue(model) is null ? null : model.In(result), context.Sink);
                return new FitCommand.Fitted(StageText.Of(fit), () => AlignmentPlot.Compose(fit.Frame, "readings of the stage and what the fit leaves", "by the stage", "by the beam"));
            });
    }

    /// <summary>How a sample lies on the stage.</summary>
    public static PatternCommand Sample()
    {
        ChoiceOption<AlignmentModel> model = Model("affine from four marks on, similarity from two");
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("sample", "Fit how a sample lies on the stage, and the plane in which it is in focus.")
        {
            Details = "Columns: marks (or corners) of the sample, where the pattern has them, and what the stage reads with each under the undeflected beam, such as \"mark, place x [um], place y [um], reading x [mm], reading y [mm]\"; 'seen x [um]' and 'seen y [um]' if a mark was seen beside the field's middle. 'uncertainty [nm]' holds standard errors, 'from x' and 'from y' the side that the stage came from, if not from that of 'stage.approach'. "
                + "'focus [mm]', the working distance with the mark in focus, at three corners at least, gives the plane of the sample. "
                + "The fragment goes into the job, or is named by it ('sample: FILE'): stage and deflection then follow the sample. The stage's own axes come from the machine file ('fit stage').",
            Examples =
            [
                new("patternc fit sample corners.csv --machine machine.yaml -o sample.yaml", "offset, rotation and focus, for the job"),
                new("patternc fit sample corners.csv --machine machine.yaml --model similarity", "with one scale and no skew"),
            ],
            Options = { model },
        };
        settings.AddTo(command);
        return FitCommand.Complete(command, StageReadings.WordColumns, (table, result, context) =>
        {
            if (!table.Has("place x"))
            {
                throw new CompileException(CalibrationCodes.BadTable, "there is no column 'place x'", fix: "say where the pattern has each mark ('place x', 'place y')");
            }

            Stage stage = settings.Read(result, context).Machine.Stage ?? throw new CompileException(
                CommandCodes.WrongUsage, "the machine file does not describe the stage", new SourcePlace("patternc fit"), "fit it with 'patternc fit stage', and add it to the machine file");
            SampleFit fit = SampleFitter.Fit(StageReadings.Of(table), stage, result.GetValue(model) is null ? null : model.In(result), context.Sink);
            return new FitCommand.Fitted(StageText.Of(fit), () => AlignmentPlot.Compose(fit.Placement, "marks of the sample and what the fit leaves", "in the pattern", "on the stage"));
        });
    }

    private static ChoiceOption<AlignmentModel> Model(string usual) => ChoiceOption<AlignmentModel>.CreateOptional(
        "--model",
        $"What is fitted: offset; rotation and one scale, too; or two scales and skew, too. If absent, {usual}.",
        new(("shift", AlignmentModel.Shift), ("similarity", AlignmentModel.Similarity), ("affine", AlignmentModel.Affine)));
}
