namespace PatternCompiler.Oracles.Receiver;

/// <summary>A test that runs the simulator Verilator, which needs a C++ compiler.</summary>
internal sealed class VerilatorFactAttribute : FactAttribute
{
    private static readonly string? Reason =
        OutsidePrograms.Missing("verilator", "verilator", "--version") ?? OutsidePrograms.Missing("g++", "g++", "--version");

    public VerilatorFactAttribute() => Skip = Reason;
}

/// <summary>A test that runs the simulator Icarus Verilog.</summary>
internal sealed class IcarusFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("iverilog", "iverilog", "-V");

    public IcarusFactAttribute() => Skip = Reason;
}

/// <summary>A test that runs the synthesis program Yosys.</summary>
internal sealed class YosysFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("yosys", "yosys", "-V");

    public YosysFactAttribute() => Skip = Reason;
}

/// <summary>A test that places and routes for a part of the iCE40 family.</summary>
internal sealed class PlacementFactAttribute : FactAttribute
{
    private static readonly string? Reason =
        OutsidePrograms.Missing("yosys", "yosys", "-V") ?? OutsidePrograms.Missing("nextpnr-ice40", "nextpnr-ice40", "--version");

    public PlacementFactAttribute() => Skip = Reason;
}
