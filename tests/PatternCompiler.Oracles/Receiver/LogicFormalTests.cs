using System.Globalization;
using System.Text.RegularExpressions;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// Yosys proves parts of the receiver in Verilog equal to plain models (RFC 3720's shift register; the formulas of the stream's page for
/// points of lines), finds a fault planted in each model, and fits the board into a small part.
/// </summary>
public sealed class LogicFormalTests(LogicReceiver logic) : IClassFixture<LogicReceiver>
{
    private const int MostCells = 5000;
    private const string Crc = "crc32c_check.v crc32c.v; prep -top crc32c_check -flatten; sat -verify -prove-asserts";

    // Two clocks, a division of 4, and 8 points.
    private const string Line = "line_check.v line_divide.v line_axis.v; prep -top line_check -flatten; sat -verify -prove-asserts -set-assumes -seq 16";

    [YosysFact]
    public void The_CRC_is_that_of_the_plain_shift_register() => AssertProved(Crc);

    [YosysFact]
    public void Points_and_dwells_of_lines_are_those_of_the_pages_formulas() => AssertProved(Line);

    /// <summary>One run of placement: some 50 s of a processor.</summary>
    [PlacementFact]
    public void The_board_fits_5000_cells_at_50_MHz()
    {
        _ = Run("yosys", "-q", "-p", $"read_verilog {string.Join(' ', LogicReceiver.Modules)}; synth_ice40 -top board -json board.json");
        (int exitCode, string report) = Run(
            "nextpnr-ice40", "--hx4k", "--package", "tq144", "--json", "board.json", "--freq", "50", "--seed", "1", "--pcf-allow-unconstrained");
        Assert.True(exitCode == 0, report[^Math.Min(report.Length, 2000)..]);
        Assert.InRange(Number(report, @"ICESTORM_LC:\s+(\d+)/"), 1000, MostCells);
        Assert.InRange(Number(report, @"Max frequency for clock '[^']*': ([0-9.]+) MHz"), 50, 200);
    }

    private void AssertProved(string check)
    {
        (int proved, string text) = Script("-formal", check);
        Assert.True(proved == 0 && text.Contains("no model found", StringComparison.Ordinal), text[^Math.Min(text.Length, 2000)..]);
        (int planted, text) = Script("-formal -DPLANTED", check);
        Assert.True(planted == 1 && text.Contains("proof did fail", StringComparison.Ordinal), text[^Math.Min(text.Length, 2000)..]);
    }

    private (int ExitCode, string Text) Script(string options, string check)
    {
        // Paths of its files, which are the words that end in ".v".
        string paths = string.Join(' ', check.Split(' ').Select(word => word.TrimEnd(';') is string name && name.EndsWith(".v", StringComparison.Ordinal)
            ? Path.Combine(LogicReceiver.Source, name.EndsWith("_check.v", StringComparison.Ordinal) ? $"formal/{word}" : word)
            : word));
        return Run("yosys", "-p", $"read_verilog {options} {paths}");
    }

    private (int ExitCode, string Text) Run(string program, params string[] arguments) => logic.Run(program, arguments);

    // The last one: nextpnr estimates before it routes.
    private static double Number(string text, string pattern) => double.Parse(
        Regex.Matches(text, pattern)[^1].Groups[1].Value, CultureInfo.InvariantCulture);
}
