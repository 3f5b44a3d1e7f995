using System.Collections.Immutable;
using System.CommandLine;
using System.Text;
using PatternCompiler.Calibration;
using PatternCompiler.Calibration.Contrast;
using PatternCompiler.Calibration.Converters;
using PatternCompiler.Calibration.DoseToSize;
using PatternCompiler.Calibration.Mains;
using PatternCompiler.Calibration.Results;
using PatternCompiler.Calibration.Spread;
using PatternCompiler.Checks;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Settings;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Pictures.Plots;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Commands;

/// <summary><c>patternc fit</c>: measurements to the parameters of machine and process files.</summary>
internal static class FitCommand
{
    private static readonly Unit MicrocoulombPerSquareCentimetre = new("uC/cm2", Dimension.AreaDose, -2);
    private static readonly Unit Femtocoulomb = new("fC", Dimension.Charge, -15);
    private const double LargestSpreadError = 0.5;
    private const double UsualMainsHertz = 50;
    private const int UsualHarmonics = 3;
    private const int MostHarmonics = 10;


    public static Command Create()
    {
        PatternCommand command = new("fit", "Fit parameters to measurements.")
        {
            Details = "Each fit takes a table of measurements and prints the part of a machine or process file that it determines, with standard errors and confidence intervals as comments. A table is comma-separated text whose first line names the columns with their units.",
            Examples =
            [
                new("patternc fit contrast dose-test.csv", "onset and clearing dose of a resist"),
                new("patternc fit field marks.csv >> calibration.yaml", "the field's distortion"),
            ],
        };
        command.Runs((_, context) => throw new Diagnostics.CompileException(
            Diagnostics.Catalogue.CommandCodes.WrongUsage,
            "it is not said what to fit",
            new Diagnostics.SourcePlace("patternc fit"),
            "contrast, dose, spread, blanker, settling, hum, field, converter, alignment, stage or sample; see 'patternc fit --help'"));
        command.Subcommands.Add(Contrast());
        command.Subcommands.Add(Dose());
        command.Subcommands.Add(Spread());
        command.Subcommands.Add(FitBlankerCommand.Create());
        command.Subcommands.Add(FitSettlingCommand.Create());
        command.Subcommands.Add(Hum());
        command.Subcommands.Add(FitFieldCommand.Create());
        command.Subcommands.Add(Converter());
        command.Subcommands.Add(FitPlaces.Alignment());
        command.Subcommands.Add(FitPlaces.Stage());
        command.Subcommands.Add(FitPlaces.Sample());
        return command;
    }

    private static PatternCommand Contrast()
    {
        Option<Quantity?> initial = QuantityOption.CreatePositive("--initial-thickness", "Thickness that counts as whole; fitted, too, if absent.", Dimension.Length);
        Option<Quantity?> baseDose = QuantityOption.CreatePositive("--base-dose", "Dose that a table's dose factors multiply.", Dimension.AreaDose);
        var tone = ChoiceOption<ResistTone>.Create("--tone", "What exposure does to the resist.", Choices.Tone);
        return Complete(
            new PatternCommand("contrast", "Fit the contrast of a resist, and the doses from which it thins and is gone (negative: gels and is whole).")
            {
                Details = "Columns: dose and thickness, such as \"dose [uC/cm2], thickness [nm]\"; or \"factor, thickness [nm]\" with --base-dose. Of a table with a column 'feature', as 'fit dose' takes it, the squares count. Thicknesses are taken to carry an error of even size. 'patternc generate dose-matrix' and 'dose-wedge' draw the test.",
                Examples =
                [
                    new("patternc fit contrast dose-test.csv --plot curve.png", "for a positive resist, with a picture of the curve"),
                    new("patternc fit contrast dose-test.csv --tone negative --initial-thickness \"180 nm\"", "for a negative one"),
                    new("patternc fit contrast factors.csv --base-dose \"250 uC/cm2\"", "from the dose factors of a test"),
                ],
                Options = { initial, baseDose, tone },
            },
            DoseReadings.WordColumns,
            (table, result, context) =>
            {
                MeasurementTable squares = table.Only("feature", "square");
                double[] thicknesses = squares.FilledColumn("thickness", Unit.Nanometre);
                double[] doses = AreaDoses(squares, result.GetValue(baseDose));
                ContrastFit fit = ContrastFitter.Fit(
                    doses,
                    thicknesses,
                    result.GetValue(initial)?.In(Unit.Nanometre),
                    tone.In(result),
                    context.Sink);
                return new Fitted(FitText.Of(fit), () => ContrastPlot.Compose(fit, doses, thicknesses));
            });
    }

    private static PatternCommand Dose()
    {
        Option<Quantity?> spot = QuantityOption.CreateWithin(
            "--spot", "Spot that the test was written with, full width at half maximum; that of the machine file if absent.", new(0, Unit.Nanometre), new(1e6, Unit.Nanometre));
        Option<Quantity?> baseDose = QuantityOption.CreatePositive("--base-dose", "Dose that a table's dose factors multiply.", Dimension.AreaDose);
        var tone = ChoiceOption<ResistTone>.CreateOptional("--tone", "What exposure does to the resist; that of the process file if absent.", Choices.Tone);
        Option<double?> spreadError = NumberOption.CreateReal(
            "--spread-error", "Standard error of each range and ratio of the spread, as a part of it; 0.05 if absent, 0 if they are exact.", 0, LargestSpreadError);
        var settings = new SettingsOptions(SettingsNeed.All);
        var command = new PatternCommand("dose", "Fit the dose at which features print with their size.")
        {
            Details = "Columns: \"feature, drawn [nm], dose [uC/cm2], measured [nm], thickness [nm], cleared\", a line for each reading, cells that do not apply left empty. A 'square' has its side and the thickness left in its middle, or yes or no in 'cleared' (of a negative resist: 'stands'); a 'bar' or 'gap' has drawn and measured width. Further columns: 'length [um]' of bars and gaps, 'bars' and 'pitch [nm]' for those side by side, 'beside [um]' for the width of the areas beside a gap; what is left out is long, alone and wide. 'factor' with --base-dose stands for the dose. Features should be one and a half times as far apart as electrons scatter back. Spread and tone are those of the process file. Widths are taken to carry an error of even size, and all readings together that of the spread (--spread-error). 'patternc generate dose-matrix --bars 1 --table readings.csv' draws the test and writes the table to fill in; put # in front of what did not print.",
            Examples =
            [
                new("patternc fit dose readings.csv --process process.yaml --machine machine.yaml --plot dose.png", "threshold, base dose and bias, and a picture"),
                new("patternc fit dose readings.csv --process process.yaml --spot \"20 nm\" --base-dose \"250 uC/cm2\"", "from the dose factors of a test"),
                new("patternc fit dose readings.csv --job job.yaml --spread-error 0.1", "with a spread that is known to 10 %"),
                new("patternc fit dose readings.csv --job job.yaml --tone negative", "with the job's settings, for a negative resist whatever they say"),
            ],
            Options = { spot, baseDose, tone, spreadError },
        };
        settings.AddTo(command);
        return Complete(command, DoseReadings.WordColumns, (table, result, context) =>
        {
            Quantity? stated = result.GetValue(spot);
            BuildSettings used = settings.Read(result, context, stated is null ? SettingsNeed.All : SettingsNeed.Process);
            used = used.Process.IsForwardDerived ? settings.Read(result, context, SettingsNeed.All) : used;
            ResistTone wanted = tone.In(result, used.Process.Response.Tone);
            SpreadFunction spread = used.Process.Spread ?? throw new CompileException(
                CommandCodes.WrongUsage, "the process file has no spread, without which edges cannot be told from middles", new SourcePlace("patternc fit"), "measure it with 'patternc fit spread', or begin with the one of the built-in process file");
            spread = spread.WithSpot(stated?.In(Unit.Nanometre) ?? used.Machine.Beam.SpotNanometres);
            IReadOnlyList<DoseReading> readings = DoseReadings.Of(table, AreaDoses(table, result.GetValue(baseDose)), wanted);
            DoseFit fit = DoseFitter.Fit(readings, spread, result.GetValue(spreadError) ?? DoseFitter.UsualSpreadError, wanted, context.Sink);
            return new Fitted(FitText.Of(fit), () => DosePlot.Compose(fit, readings, spread));
        });
    }

    private static double[] AreaDoses(MeasurementTable table, Quantity? baseDose) => Doses(table, baseDose, ("dose", MicrocoulombPerSquareCentimetre), "--base-dose", "area dose");

    // A column of doses, or one of factors and an option with the dose that they multiply.
    private static double[] Doses(MeasurementTable table, Quantity? stated, (string Column, Unit Unit) dose, string option, string what)
    {
        if (!table.Has("factor") || table.Has(dose.Column))
        {
            return stated is null
                ? table.PositiveColumn(dose.Column, dose.Unit)
                : throw Wrong($"{option} goes with a column 'factor', which the table does not have in place of '{dose.Column}'", "leave the option out, or name the column of dose factors 'factor'");
        }

        double unit = stated?.In(dose.Unit)
            ?? throw Wrong($"the table has dose factors, and it is not said of which {dose.Column}", $"add {option} with the {what} of the test's process");
        return [.. table.PositiveColumn("factor", Unit.One).Select(factor => factor * unit)];
    }

    internal static CompileException Wrong(string message, string fix) =>
        new(CommandCodes.WrongUsage, message, new SourcePlace("patternc fit"), fix);

    private static PatternCommand Spread()
    {
        Option<Quantity?> spot = QuantityOption.CreateWithin(
            "--spot", "Spot that the dots were written with, full width at half maximum; it is taken out of the ranges. 0 nm if it is negligible.", new(0, Unit.Nanometre), new(1e6, Unit.Nanometre));
        Option<Quantity?> baseCharge = QuantityOption.CreatePositive("--base-charge", "Charge that a table's dose factors multiply.", Dimension.Charge);
        Option<Quantity?> energy = QuantityOption.CreatePositive("--energy", "Beam energy: the backscattered range is compared with the range of electrons in the substrate.", Dimension.Energy);
        var substrate = ChoiceOption<Substrate>.Create("--substrate", "What the resist lies on.", Choices.Substrate);
        return Complete(
            new PatternCommand("spread", "Fit the spread of the beam's energy in the resist.")
            {
                Details = "Columns: charge and radius of single dots, such as \"charge [fC], radius [nm]\"; or \"factor, radius [nm]\" with --base-charge. The dots show spread and spot together; the process file holds the spread without the spot, which is added from the machine file wherever it counts. Radii are taken to carry an error of even size in their logarithm. 'patternc generate lines-and-dots' draws the test.",
                Examples =
                [
                    new("patternc fit spread dots.csv --spot \"20 nm\" --plot dots.png", "forward and backscattered range and their ratio, and a picture of the fit"),
                    new("patternc fit spread dots.csv --spot \"20 nm\" --energy \"30 keV\" --substrate silicon", "and whether the range suits energy and substrate"),
                ],
                Options = { spot, baseCharge, energy, substrate },
            },
            (table, result, context) =>
            {
                double[] charges = Doses(table, result.GetValue(baseCharge), ("charge", Femtocoulomb), "--base-charge", "charge of a dot");
                double[] radii = table.PositiveColumn("radius", Unit.Nanometre);
                Quantity written = result.GetValue(spot) ?? throw Wrong(
                    "it is not said with which spot the dots were written, and the process file's spread holds none",
                    "add --spot with its full width at half maximum, such as --spot \"20 nm\"; --spot \"0 nm\" if it is negligible");
                SpreadFit fit = SpreadFitter.Fit(charges, radii, written.In(Unit.Nanometre), context.Sink);
                if (result.GetValue(energy) is { } given)
                {
                    SpreadCheck.Run(fit.Backscatter.Value, substrate.In(result), given.In(Unit.Electronvolt), context.Sink);
                }

                return new Fitted(FitText.Of(fit), () => SpreadPlot.Compose(fit, charges, radii));
            });
    }


    private static PatternCommand Hum()
    {
        Option<Quantity?> frequency = QuantityOption.CreateWithin("--frequency", "Frequency of the mains; 50 Hz if absent.", new(1, Unit.Hertz), new(1000, Unit.Hertz));
        Option<bool> fitsFrequency = new("--fit-frequency") { Description = "Fit the frequency, too, within 2 % of what is stated." };
        Option<long?> harmonics = NumberOption.CreateWhole("--harmonics", "Highest multiple of the frequency that is fitted; 3 if absent.", 1, MostHarmonics);
        Option<Quantity?> speed = QuantityOption.CreatePositive("--speed", "Speed at which lines were written, beam current / line dose, for a column 'position'.", Dimension.Speed);
        return Complete(
            new PatternCommand("hum", "Fit hum of the mains to edges that were written or imaged slowly.")
            {
                Details = "Columns: time of each row and how far the edge is displaced there, along x, y or both, such as \"time [ms], x [nm], y [nm]\"; or \"position [um]\" along lines written at --speed. A column 'line' tells several lines or pictures apart, each of which has an offset and a steady drift of its own. Time 0 is where phases count from: an edge of the trigger, if the lines waited for one. All displacements are taken to carry an error of even size. 'patternc generate hum-target' draws the test.",
                Examples =
                [
                    new("patternc fit hum edges.csv --plot hum.png", "amplitude and phase at 50, 100 and 150 Hz, and a picture"),
                    new("patternc fit hum lines.csv --speed \"1 nm/us\" --frequency \"60 Hz\" --fit-frequency", "from positions along slow lines, with the frequency as it was"),
                ],
                Options = { frequency, fitsFrequency, harmonics, speed },
            },
            (table, result, context) =>
            {
                HumRows rows = HumRows.Of(table, result.GetValue(speed)?.In(Unit.NanometrePerSecond));
                HumFit fit = HumFitter.Fit(
                    rows,
                    result.GetValue(frequency)?.In(Unit.Hertz) ?? UsualMainsHertz,
                    (int)(result.GetValue(harmonics) ?? UsualHarmonics),
                    result.GetValue(fitsFrequency),
                    context.Sink);
                return new Fitted(HumText.Of(fit), () => HumPlot.Compose(fit, rows));
            });
    }

    private static PatternCommand Converter()
    {
        Option<Quantity?> meter = QuantityOption.CreatePositive("--meter-error", "Standard error of a reading of the voltmeter; what the readings tell if absent.", Dimension.Voltage);
        var settings = new SettingsOptions(SettingsNeed.Machine);
        var command = new PatternCommand("converter", "Fit what the outputs really give, from a voltmeter or from a written target.")
        {
            Details = "Columns: which output was read (x or y), its code, the code of the other, and the voltage, such as \"axis, code, other, volts [V]\"; codes count from 0, the lowest voltage. A column 'uncertainty [V]' holds the standard error of each reading. 'patternc generate converter-readings' writes records that hold the outputs, and the table to fill in. Both outputs are needed; crosstalk shows where one code is read with the other output at both of its ends. "
                + "The fragment holds, for each output, by how many steps it lies above the straight line that 'dac' states, gain and offset among it, the crosstalk, and the codes that the amplifier follows: 'scale' refuses codes beyond.\n"
                + "From 'patternc generate dac-target', written with calibration switched off: \"axis, place [um], offset [nm]\", where a line was drawn along x or y and how far off it was found ('measure --offsets'); that tells the nonlinearity alone, within one picture.",
            Examples =
            [
                new("patternc fit converter readings.csv --machine machine.yaml", "linearity, crosstalk and usable codes to paste into the machine file"),
                new("patternc fit converter readings.csv --machine machine.yaml --meter-error \"50 uV\" --plot readings.png", "with the meter's own error, and a picture"),
            ],
            Options = { meter },
        };
        settings.AddTo(command);
        return Complete(command, ConverterReadings.WordColumns, (table, result, context) =>
        {
            Machine machine = settings.Read(result, context).Machine;
            double? error = result.GetValue(meter)?.In(Unit.Volt);
            bool isFromPlaces = table.Has("place") && !table.Has("volts");
            if (isFromPlaces && error is not null)
            {
                throw Wrong("--meter-error goes with a column 'volts', which the table does not have", "leave the option out");
            }

            IReadOnlyList<ConverterReading> readings = isFromPlaces ? WrittenLines.Of(table, machine) : ConverterReadings.Of(table, machine.Dac, error);
            ConverterFit fit = ConverterFitter.Fit(readings, machine.Dac, isFromPlaces, table.PlaceOf, context.Sink);
            return new Fitted(ConverterText.Of(fit, machine.Dac), () => ConverterPlot.Compose(fit));
        });
    }

    private static PatternCommand Complete(PatternCommand command, Func<MeasurementTable, ParseResult, CommandContext, Fitted> fit) => Complete(command, [], fit);

    /// <summary>Adds what all fits have in common: the table, the fragment and the plot.</summary>
    internal static PatternCommand Complete(PatternCommand command, IReadOnlyList<string> wordColumns, Func<MeasurementTable, ParseResult, CommandContext, Fitted> fit)
    {
        Argument<string> input = InputArgument.Create("Table of measurements.");
        Option<string> output = FileOption.CreateOutput("yaml", "Write the YAML fragment to FILE.");
        Option<string> plot = FileOption.CreateWritten("--plot", _ => OutputChoice.ByName("png", "svg"), "Draw the measurements and what the fit makes of them, as PNG or SVG by the name.");
        command.Arguments.Add(input);
        command.Options.Add(output);
        command.Options.Add(plot);

        return command.Runs((result, context) =>
        {
            MeasurementTable table;
            using (InputStream source = context.Open(result.GetRequiredValue(input)))
            {
                table = MeasurementTable.Read(source, source.Name, [.. wordColumns]);
            }

            Fitted fitted;
            try
            {
                fitted = fit(table, result, context);
            }
            catch (Diagnostics.CompileException fault)
            {
                throw table.Locate(fault);
            }

            using OutputFile file = context.Outputs.Create(result.GetRequiredValue(output));
            file.Stream.Write(Encoding.UTF8.GetBytes(fitted.Fragment));
            file.Commit();
            if (result.GetValue(plot) is { } name)
            {
                PictureFile.Write(name, fitted.Plot(), context);
            }

            return ExitCode.Done;
        });
    }

    /// <summary>A fit as text, and how to draw it.</summary>
    internal sealed record Fitted(string Fragment, Func<Plot> Plot);
}
