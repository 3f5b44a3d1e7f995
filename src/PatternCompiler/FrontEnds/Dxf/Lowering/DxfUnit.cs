using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Dxf.Lowering;

/// <summary>What one drawing unit is.</summary>
/// <param name="Symbol">Short name for messages.</param>
/// <param name="Picometres">Length in picometres.</param>
internal sealed record DxfUnit(string Symbol, double Picometres)
{
    private const string OtherSymbol = "units";

    /// <summary>The unit taken when the file names none.</summary>
    public static DxfUnit Millimetre { get; } = new("mm", 1e9);

    /// <summary>For example "1 mm" or "2.5 nm".</summary>
    public string Describe() => Symbol == OtherSymbol ? $"{NumberText.Format(Picometres / 1000)} nm" : $"1 {Symbol}";

    /// <summary>A unit given by its length alone.</summary>
    public static DxfUnit FromNanometres(double nanometres) => nanometres switch
    {
        1 => new("nm", 1e3),
        1e3 => new("um", 1e6),
        1e6 => Millimetre,
        _ => new(OtherSymbol, nanometres * 1e3),
    };

    /// <summary>
    /// Unit by its $INSUNITS number, null for a number that stands for none. Source: DXF Reference, HEADER section; the
    /// US survey foot is 1200/3937 m.
    /// </summary>
    public static DxfUnit? FromInsUnits(long number) => number switch
    {
        1 => new("in", 25.4e9),
        2 => new("ft", 304.8e9),
        3 => new("mi", 1609.344e12),
        4 => Millimetre,
        5 => new("cm", 1e10),
        6 => new("m", 1e12),
        7 => new("km", 1e15),
        8 => new("microinch", 25.4e3),
        9 => new("mil", 25.4e6),
        10 => new("yd", 914.4e9),
        11 => new("angstrom", 100),
        12 => new("nm", 1e3),
        13 => new("um", 1e6),
        14 => new("dm", 1e11),
        15 => new("dam", 1e13),
        16 => new("hm", 1e14),
        17 => new("Gm", 1e21),
        18 => new("au", 149_597_870_700e12),
        19 => new("ly", 9_460_730_472_580_800e12),
        20 => new("pc", 3.0856775814913673e28),
        21 => new("US survey ft", 1200e12 / 3937),
        22 => new("US survey in", 100e12 / 3937),
        23 => new("US survey yd", 3600e12 / 3937),
        24 => new("US survey mi", 5280 * 1200e12 / 3937),
        _ => null,
    };
}
