using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a machine file that leads from the sample to voltages: field, calibration, linearity.</summary>
internal static class DeflectionSection
{
    private const int MostGridPoints = 100_000;

    /// <summary>An output that gives more of the other's voltage than this is not the output it is taken for: common practice, no source.</summary>
    private const double MostCrosstalk = 0.5;

    private static readonly string[] AffineKeys = ["xx", "xy", "yx", "yy", "offset_x", "offset_y"];

    public static Deflection Read(YamlNode node, Dac dac)
    {
        YamlMapping deflection = node.AsMapping();
        deflection.RefuseBoth("field", "field_width");
        deflection.RefuseBoth("field", "field_height");
        bool isSquare = deflection.Optional("field_width") is null && deflection.Optional("field_height") is null;
        YamlNode width = deflection.Required(isSquare ? "field" : "field_width");
        YamlNode height = deflection.Required(isSquare ? "field" : "field_height");
        return new Deflection(
            width.AsPositive(Unit.Nanometre),
            height.AsPositive(Unit.Nanometre),
            deflection.Optional("invert_x")?.AsFlag() ?? false,
            deflection.Optional("invert_y")?.AsFlag() ?? false,
            deflection.Optional("swap_axes")?.AsFlag() ?? false,
            deflection.Optional("calibration") is YamlNode calibration ? ReadCalibration(calibration) : AffineCalibration.Identity,
            deflection.Optional("linearity_x") is YamlNode x ? ReadLinearity(x, dac) : null,
            deflection.Optional("linearity_y") is YamlNode y ? ReadLinearity(y, dac) : null)
        {
            Crosstalk = deflection.Optional("crosstalk") is YamlNode crosstalk ? ReadCrosstalk(crosstalk) : null,
            UsableX = deflection.Optional("usable_x") is YamlNode usableX ? ReadUsable(usableX, dac) : null,
            UsableY = deflection.Optional("usable_y") is YamlNode usableY ? ReadUsable(usableY, dac) : null,
        };
    }

    private static OutputCrosstalk? ReadCrosstalk(YamlNode node)
    {
        YamlMapping map = node.AsMapping();
        (double xFromY, double yFromX) = (ReadPart("x_from_y"), ReadPart("y_from_x"));
        return xFromY == 0 && yFromX == 0 ? null : new OutputCrosstalk(xFromY, yFromX);

        double ReadPart(string key)
        {
            double part = map.Optional(key)?.AsReal() ?? 0;
            return Math.Abs(part) <= MostCrosstalk
                ? part
                : throw map.Required(key).OutOfRange(
                    $"{map.Required(key).Name} is a part of the other output's voltage, from -{NumberText.Format(MostCrosstalk)} to {NumberText.Format(MostCrosstalk)}, but it is {map.Required(key).AsText()}",
                    "look for exchanged axes ('swap_axes')");
        }
    }

    private static CodeRange ReadUsable(YamlNode node, Dac dac)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        if (items.Count != 2)
        {
            throw node.OutOfRange($"{node.Name} must be the lowest and the highest code, but it has {items.Count} values", "write for example [1024, 64511]");
        }

        var usable = new CodeRange((int)items[0].AsInteger(0, dac.CodeCount - 1), (int)items[1].AsInteger(0, dac.CodeCount - 1));
        int middle = dac.CodeCount / 2;
        return usable.Lowest < middle && usable.Highest >= middle
            ? usable
            : throw node.OutOfRange($"{node.Name} must reach over the middle of the range, code {middle}, where the beam waits, but it is from {usable.Lowest} to {usable.Highest}");
    }

    /// <summary>The calibration with the note that its keys are of the older sense, or null where they are not or it makes no difference.</summary>
    public static Diagnostic? OldSenseOf(YamlNode node)
    {
        if (node.AsMapping().Optional("calibration") is not YamlNode calibration || calibration.AsMapping() is not { } map || !Array.Exists(AffineKeys, key => map.Optional(key) is not null))
        {
            return null;
        }

        AffineCalibration written = ReadAffine(map);
        AffineCalibration landing = written.Inverse;
        return written == AffineCalibration.Identity ? null : new Diagnostic(
            JobCodes.OldSense,
            Severity.Note,
            "'deflection.calibration' has its keys in the older sense, from wanted to commanded places, and is read so; every other calibration says where the beam lands for a commanded place",
            calibration.Place,
            $"'affine: {{xx: {NumberText.Format(landing.XX)}, xy: {NumberText.Format(landing.XY)}, yx: {NumberText.Format(landing.YX)}, yy: {NumberText.Format(landing.YY)}, "
                + $"offset_x: {NumberText.Format(landing.OffsetXNanometres)} nm, offset_y: {NumberText.Format(landing.OffsetYNanometres)} nm}}' under 'calibration' means the same");
    }

    private static FieldCalibration ReadCalibration(YamlNode node)
    {
        YamlMapping map = node.AsMapping();
        string[] forms = ["affine", "polynomial", "grid"];
        for (int i = 0; i < forms.Length; i++)
        {
            foreach (string other in (string[])[.. forms.Skip(i + 1), .. AffineKeys])
            {
                map.RefuseBoth(forms[i], other);
            }
        }

        return map.Optional("affine") is YamlNode affine ? ReadAffine(affine.AsMapping()).Inverse
            : map.Optional("polynomial") is YamlNode polynomial ? ReadPolynomial(polynomial)
            : map.Optional("grid") is YamlNode grid ? ReadGrid(grid)
            : ReadAffine(map);
    }

    // Under 'affine' where the beam lands for a commanded place; right under 'calibration', in files of old, what to command for a wanted one.
    private static AffineCalibration ReadAffine(YamlMapping map)
    {
        var affine = new AffineCalibration(
            map.Optional("xx")?.AsReal() ?? 1,
            map.Optional("xy")?.AsReal() ?? 0,
            map.Optional("offset_x")?.AsQuantityIn(Unit.Nanometre) ?? 0,
            map.Optional("yx")?.AsReal() ?? 0,
            map.Optional("yy")?.AsReal() ?? 1,
            map.Optional("offset_y")?.AsQuantityIn(Unit.Nanometre) ?? 0);
        double determinant = affine.XX * affine.YY - affine.XY * affine.YX;
        return determinant != 0 && double.IsFinite(determinant) && affine.Inverse.Numbers.All(double.IsFinite)
            ? affine
            : throw map.OutOfRange($"{map.Name} maps the field onto a line (xx * yy = xy * yx)", "measure the field again");
    }

    private static PolynomialCalibration ReadPolynomial(YamlNode node)
    {
        YamlMapping map = node.AsMapping();
        int order = (int)map.Required("order").AsInteger(1, 3);
        int terms = FieldPolynomial.TermCount(order);
        double[] Coefficients(string key)
        {
            IReadOnlyList<YamlNode> items = map.Required(key).AsList();
            return items.Count == terms
                ? [.. items.Select(item => item.AsQuantityIn(Unit.Nanometre))]
                : throw map.Required(key).OutOfRange(
                    $"{map.Required(key).Name} needs {terms} coefficients for order {order}, but it has {items.Count}",
                    "list them by rising order: 1, u, v, u², u·v, v² …");
        }

        var polynomial = new FieldPolynomial(order, map.Required("half_field").AsPositive(Unit.Nanometre), Coefficients("x"), Coefficients("y"));
        return Invertible(new PolynomialCalibration(polynomial), node);
    }

    private static GridCalibration ReadGrid(YamlNode node)
    {
        YamlMapping map = node.AsMapping();
        int columns = (int)map.Required("columns").AsInteger(2, MostGridPoints);
        int rows = (int)map.Required("rows").AsInteger(2, MostGridPoints);
        (double X, double Y) first = ReadLengths(map.Required("first"));
        (double X, double Y) step = ReadLengths(map.Required("step"));
        if (!(step.X > 0 && step.Y > 0))
        {
            throw map.Required("step").OutOfRange($"{map.Required("step").Name} must be above zero in x and y");
        }

        IReadOnlyList<YamlNode> landings = map.Required("landings").AsList();
        if (landings.Count != (long)columns * rows)
        {
            throw map.Required("landings").OutOfRange(
                $"{map.Required("landings").Name} has {CountText.Of(landings.Count, "point", "points")}, but {CountText.Of(columns, "column", "columns")} and {CountText.Of(rows, "row", "rows")} make {(long)columns * rows}",
                "list every point as [x, y] in nanometres, row by row from the lower left");
        }

        return Invertible(new GridCalibration(columns, rows, first, step, [.. landings.Select(ReadNumbers)]), node);
    }

    /// <summary>A calibration that folds the field over itself is a mistake in the measurements.</summary>
    private static T Invertible<T>(T calibration, YamlNode node)
        where T : MeasuredCalibration
    {
        (double x, double y) = calibration.Land(0, 0);
        AffineCalibration centre = calibration.AtCentre;
        double determinant = centre.XX * centre.YY - centre.XY * centre.YX;
        return double.IsFinite(determinant) && determinant != 0 && calibration.TryCommand(x, y, out _, out _)
            ? calibration
            : throw node.OutOfRange($"{node.Name} maps the field onto a line, or its centre outside the measured area", "measure the field again");
    }

    private static CodeLinearity ReadLinearity(YamlNode node, Dac dac)
    {
        var errors = ImmutableArray.CreateBuilder<(int Code, double ErrorSteps)>();
        foreach (YamlNode item in node.AsList())
        {
            (double code, double error) = ReadNumbers(item);
            if (code != Math.Floor(code) || code < 0 || code >= dac.CodeCount)
            {
                throw item.OutOfRange($"{item.Name} must name a code from 0 to {dac.CodeCount - 1}, but it is {NumberText.Format(code)}");
            }

            errors.Add(((int)code, error));
        }

        if (CodeLinearity.FaultOf(errors) is int line)
        {
            YamlNode item = node.AsList()[line];
            throw item.OutOfRange(
                errors[line].Code <= errors[line - 1].Code
                    ? $"{item.Name}: codes must rise from line to line"
                    : $"{item.Name}: outputs must rise from line to line, save from a code to the very next, where they may fall back by less than they rise to either side",
                "sort by code; a converter whose output falls elsewhere than at a carry cannot be corrected");
        }

        return new CodeLinearity(errors.ToImmutable());
    }

    private static (double X, double Y) ReadNumbers(YamlNode node)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        return items.Count == 2
            ? (items[0].AsReal(), items[1].AsReal())
            : throw node.OutOfRange($"{node.Name} must be a pair of numbers, but it has {items.Count}");
    }

    private static (double X, double Y) ReadLengths(YamlNode node)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        return items.Count == 2
            ? (items[0].AsQuantityIn(Unit.Nanometre), items[1].AsQuantityIn(Unit.Nanometre))
            : throw node.OutOfRange($"{node.Name} must be a pair of lengths, but it has {items.Count}", "write for example [10 um, -5 um]");
    }
}
