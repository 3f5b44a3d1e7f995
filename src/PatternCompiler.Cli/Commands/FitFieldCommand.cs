using System.CommandLine;
using PatternCompiler.Calibration.Field;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Settings;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fit field</c>: measured marks, or views of unknown ones, to the calibration of the field.</summary>
internal static class FitFieldCommand
{
    public static PatternCommand Create()
    {
        Option<long?> order = NumberOption.CreateWhole("--order", "Order of the polynomial; the one that predicts left-out marks best if absent.", 1, FieldFitter.HighestOrder);
        Option<KnownLength?> known = KnownLengthOption.Create();
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("field", "Fit the distortion of the field.")
        {
            Details = "Columns: commanded and measured place of each mark, such as \"commanded x [um], commanded y [um], measured x [um], measured y [um]\". All orders are compared; leave-one-out errors tell which to trust. 'patternc generate field-grid' draws the test.\n"
                + "Marks must be measured by something else than this deflection: a picture that it scans hides its own distortion. Without anything else, picture one sample several times, turned by about 90 degrees and moved by some pitches in between: \"view, drawn x [um], drawn y [um], seen x [um], seen y [um]\", a line for each mark in each picture, places as seen from its middle ('measure --seen'). What does not turn and move with the sample is the field's. The sample may be any grid of marks; their true places are not needed.",
            Examples =
            [
                new("patternc fit field marks.csv --machine machine.yaml", "the polynomial to paste into the machine file"),
                new("patternc fit field marks.csv --order 3 --plot marks.png", "with a map of what was measured and what is left"),
                new("patternc fit field views.csv --known \"-42 um, 0 um, 42 um, 0 um, 84.03 um\"", "from views, with a distance that is known"),
            ],
            Options = { order, known },
        };
        settings.AddTo(command);
        return FitCommand.Complete(command, FieldViews.WordColumns, (table, result, context) =>
        {
            double halfField = settings.Read(result, context).Machine.Deflection.FieldWidthNanometres / 2;
            int? wanted = (int?)result.GetValue(order);
            if (table.Has("view"))
            {
                var views = FieldViews.Of(table, halfField);
                (IReadOnlyList<FieldFit> viewFits, FieldFit usual) = SelfCalibration.FitAll(views, halfField, result.GetValue(known), context.Sink);
                FieldFit solved = Chosen(viewFits, usual, of => SelfCalibration.Fit(views, of, halfField, result.GetValue(known)));
                SelfCalibration.WarnOfError(solved, context.Sink);
                return new FitCommand.Fitted(FitText.Of(viewFits, solved), () => FieldResidualPlot.Compose(solved, views));
            }

            if (result.GetValue(known) is not null)
            {
                throw FitCommand.Wrong("--known goes with a column 'view', which the table does not have", "leave the option out: measured places have their own scale");
            }

            IReadOnlyList<FieldMark> marks = FieldMark.Of(table);
            (IReadOnlyList<FieldFit> fits, FieldFit recommended) = FieldFitter.FitAll(marks, halfField, context.Sink);
            FieldFit chosen = Chosen(fits, recommended, of => FieldFitter.Fit(marks, of, halfField));
            return new FitCommand.Fitted(FitText.Of(fits, chosen), () => FieldResidualPlot.Compose(chosen, marks));

            FieldFit Chosen(IReadOnlyList<FieldFit> all, FieldFit usual, Func<int, FieldFit> fit) =>
                wanted is { } number ? all.FirstOrDefault(one => one.Polynomial.Order == number) ?? fit(number) : usual;
        });
    }
}
