using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Settings;

/// <summary>An option that replaces one value of the settings files for one run.</summary>
/// <param name="Option">The option.</param>
/// <param name="Apply">The settings with the option's value; called only if it is given.</param>
internal sealed record SettingOverride(Option Option, Func<ParseResult, BuildSettings, BuildSettings> Apply)
{
    /// <summary>Bound for the polygons that stand for curves.</summary>
    public static SettingOverride ChordError() => OfQuantity(
        QuantityOption.CreatePositive("--chord-error", "Largest distance between a curve and the polygon that stands for it.", Dimension.Length),
        (settings, value) => settings with { Job = settings.Job with { ChordErrorNanometres = value.In(Unit.Nanometre) } });

    /// <summary>Grid of drawings that name none.</summary>
    public static SettingOverride Grid() => OfQuantity(
        QuantityOption.CreatePositive("--grid", "Grid step of a drawing that names none; coordinates are whole multiples.", Dimension.Length),
        (settings, value) => settings with { Job = settings.Job with { GridPicometres = WholePicometres(value) } });

    /// <summary>Where the pattern lies in the field.</summary>
    public static SettingOverride Position() => OfChoice(
        "--position",
        "Where the pattern lies in the field: its origin at the centre, or its middle.",
        Choices.Position,
        (settings, value) => settings with { Job = settings.Job with { Position = value } });

    /// <summary>Smoothing of over-sampled curves.</summary>
    public static SettingOverride Smoothing() => OfQuantity(
        QuantityOption.CreatePositive("--smoothing", "Leave out points of over-sampled curves that lie this close to the edge that takes their place.", Dimension.Length),
        (settings, value) => settings with { Job = settings.Job with { SmoothingNanometres = value.In(Unit.Nanometre) } });

    /// <summary>Direction of the figures' parallel sides.</summary>
    public static SettingOverride Direction() => OfChoice(
        "--direction",
        "Direction of the figures' parallel sides; automatic takes for each part the one with fewer slivers and figures.",
        Choices.FractureDirection,
        (settings, value) => settings with { Job = settings.Job with { FractureDirection = value } });

    /// <summary>How areas are covered.</summary>
    public static SettingOverride Strategy() => OfChoice(
        "--strategy",
        "Fill each figure with lines of its own, or scan the layer as a raster; back and forth, or all in one direction; or follow the outlines first, or all the way in.",
        Choices.Strategy,
        (settings, value) => WithFill(settings, fill => fill with { Strategy = value }));

    /// <summary>Which way lines run.</summary>
    public static SettingOverride LineDirection() => OfChoice(
        "--line-direction",
        "Which way lines run.",
        Choices.LineDirection,
        (settings, value) => WithFill(settings, fill => fill with { Direction = value }));

    /// <summary>How jumps travel.</summary>
    public static SettingOverride Travel() => OfChoice(
        "--travel",
        "Jumps go straight, or, hidden, over exposed areas and around the pattern where they would print.",
        Choices.HidesTravel,
        (settings, value) => settings with { Job = settings.Job with { HidesTravel = value } });

    /// <summary>Distance between lines.</summary>
    public static SettingOverride LinePitch() => OfSpacing(
        SpacingOption.Create("--line-pitch", "Distance between neighbouring lines"),
        (settings, value) => WithFill(settings, fill => fill with { LinePitch = value }));

    /// <summary>Distance between points.</summary>
    public static SettingOverride PointStep() => OfSpacing(
        SpacingOption.Create("--point-step", "Distance between points along a line"),
        (settings, value) => WithFill(settings, fill => fill with { PointStep = value }));

    /// <summary>Base area dose.</summary>
    public static SettingOverride Dose() => OfQuantity(
        QuantityOption.CreatePositive("--dose", "Base area dose.", Dimension.AreaDose),
        (settings, value) => settings with
        {
            Process = settings.Process with { AreaDoseCoulombsPerSquareMetre = value.In(Unit.CoulombPerSquareMetre) },
        });

    /// <summary>Beam current.</summary>
    public static SettingOverride Current() => OfQuantity(
        QuantityOption.CreatePositive("--current", "Beam current as measured.", Dimension.Current),
        (settings, value) => settings with
        {
            Machine = settings.Machine with { Beam = settings.Machine.Beam with { CurrentAmperes = value.In(Unit.Ampere) } },
        });

    private static long WholePicometres(Quantity value)
    {
        double picometres = value.In(Unit.Picometre);
        return picometres is >= 1 and <= 1e6 && picometres == Math.Floor(picometres)
            ? (long)picometres
            : throw new CompileException(
                CommandCodes.WrongUsage,
                $"option '--grid' must be a whole number of picometres from 1 pm to 1 um, but it is '{value}'",
                fix: "write for example 0.1 nm");
    }

    private static BuildSettings WithFill(BuildSettings settings, Func<FillSettings, FillSettings> change) => settings with
    {
        Job = settings.Job with
        {
            Fill = change(settings.Job.Fill),
            Layers = [.. settings.Job.Layers.Select(layer => layer with { Fill = change(layer.Fill) })],
        },
    };

    private static SettingOverride OfQuantity(Option<Quantity?> option, Func<BuildSettings, Quantity, BuildSettings> apply) =>
        new(option, (result, settings) => result.GetValue(option) is { } value ? apply(settings, value) : settings);

    private static SettingOverride OfSpacing(Option<Spacing?> option, Func<BuildSettings, Spacing, BuildSettings> apply) =>
        new(option, (result, settings) => result.GetValue(option) is { } value ? apply(settings, value) : settings);

    private static SettingOverride OfChoice<T>(string name, string description, Choice<T> choice, Func<BuildSettings, T, BuildSettings> apply)
    {
        var option = ChoiceOption<T>.CreateOptional(name, description, choice);
        return new(option, (result, settings) => result.GetResult(option) is null ? settings : apply(settings, option.In(result)));
    }
}
