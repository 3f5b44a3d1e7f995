using System.Collections.Immutable;
using PatternCompiler.Calibration;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Plan;

/// <summary>What is to be planned: a smallest feature, and the beams and fields that the microscope offers.</summary>
/// <param name="FeatureNanometres">Width of the smallest feature.</param>
/// <param name="Beams">Currents with the spots that go with them.</param>
/// <param name="Fields">Fields by magnification.</param>
internal sealed record PlanQuestion(double FeatureNanometres, ImmutableArray<BeamSetting> Beams, ImmutableArray<FieldSetting> Fields)
{
    private const int MostRows = 10_000;
    private static readonly Unit Picoampere = new("pA", Dimension.Current, -12);
    private static readonly Unit Micrometre = new("um", Dimension.Length, -6);

    /// <summary>A question about what tables offer; the machine's own beam or field where there is none.</summary>
    /// <param name="featureNanometres">Width of the smallest feature.</param>
    /// <param name="machine">The machine.</param>
    /// <param name="beams">Columns "current [pA]" and "spot [nm]"; or null.</param>
    /// <param name="fields">Columns "field [um]" and, if wanted, "magnification"; or null.</param>
    /// <exception cref="CompileException">A column is missing, a value is not above zero, or there are too many pairs.</exception>
    public static PlanQuestion Of(double featureNanometres, Machine machine, MeasurementTable? beams, MeasurementTable? fields)
    {
        ImmutableArray<BeamSetting> offered = beams is null
            ? [new(machine.Beam.CurrentAmperes, machine.Beam.SpotNanometres)]
            : [.. beams.PositiveColumn("current", Picoampere).Zip(beams.PositiveColumn("spot", Unit.Nanometre), (current, spot) => new BeamSetting(current / 1e12, spot))];
        double[]? magnifications = fields?.Has("magnification") == true ? fields.PositiveColumn("magnification", Unit.One) : null;
        ImmutableArray<FieldSetting> sizes = fields is null
            ? [new(machine.Deflection.FieldWidthNanometres, null)]
            : [.. fields.PositiveColumn("field", Micrometre).Select((width, i) => new FieldSetting(width * 1000, magnifications?[i]))];
        return (long)offered.Length * sizes.Length <= MostRows
            ? new PlanQuestion(featureNanometres, offered, sizes)
            : throw new CompileException(
                CommandCodes.WrongUsage, $"{offered.Length} beams and {sizes.Length} fields are more than {MostRows} pairs", new SourcePlace("patternc plan"), "leave some out");
    }
}

/// <summary>A beam that the column can be set to.</summary>
/// <param name="CurrentAmperes">Its current.</param>
/// <param name="SpotNanometres">Its spot, full width at half maximum.</param>
internal readonly record struct BeamSetting(double CurrentAmperes, double SpotNanometres);

/// <summary>A field that the microscope can be set to.</summary>
/// <param name="WidthNanometres">Width that the full voltage span covers along x.</param>
/// <param name="Magnification">The magnification at which it does, or null.</param>
internal readonly record struct FieldSetting(double WidthNanometres, double? Magnification);
