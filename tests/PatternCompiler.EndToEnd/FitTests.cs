using System.Globalization;
using System.Text.RegularExpressions;
namespace PatternCompiler.EndToEnd;

public sealed class FitTests
{
    // A positive resist of contrast 1.8 that starts at 116 and clears at 417 uC/cm2, read to the nearest 5 nm.
    private const string DoseTest =
        "dose [uC/cm2], thickness [nm]\n50,200\n100,200\n150,160\n200,115\n250,80\n300,50\n350,30\n400,5\n450,0\n500,0\n";

    [Fact]
    public void A_contrast_fragment_can_be_pasted_into_a_process_file()
    {
        using WorkFolder folder = new WorkFolder().With("dose.csv", DoseTest).With("a.dxf", Patterns.Dxf);
        Outcome outcome = folder.Run("fit", "contrast", "dose.csv", "-o", "c.yaml").Expect(0);
        Assert.Empty(outcome.OutputBytes);
        string fragment = File.ReadAllText(folder["c.yaml"]);
        Assert.Matches(@"(?m)^  onset: 11\d(\.\d+)? uC/cm2$", fragment);
        Assert.Matches(@"(?m)^  clearing: 41\d(\.\d+)? uC/cm2$", fragment);
        folder.With("process.yaml", "process: test\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\n" + fragment);
        folder.Run("build", "a.dxf", "--process", "process.yaml").Expect(0);
    }

    // The table of a dose test, as 'generate dose-matrix --table' begins it, serves both fits.
    [Fact]
    public void Of_a_dose_tests_table_the_squares_tell_the_contrast()
    {
        string[] rows = [.. DoseTest.Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(1)];
        string squares = string.Concat(rows.Select(row => $"square,8000,{row.Split(',')[0]},,{row.Split(',')[1]}\nbar,300,{row.Split(',')[0]},290,\n"));
        using WorkFolder folder = new WorkFolder().With("dose.csv", DoseTest).With("all.csv", "feature, drawn [nm], dose [uC/cm2], measured [nm], thickness [nm]\n" + squares)
            .With("bars.csv", "feature, drawn [nm], dose [uC/cm2], measured [nm], thickness [nm]\nbar,300,200,290,\n")
            .With("empty.csv", "dose [uC/cm2], thickness [nm]\n50,200\n100,\n");
        Assert.Equal(folder.Run("fit", "contrast", "dose.csv").Expect(0).Output, folder.Run("fit", "contrast", "all.csv").Expect(0).Output);
        Assert.Equal("bars.csv:1: error PC4001: no line has 'square' in the column 'feature'; other lines tell nothing here\n", folder.Run("fit", "contrast", "bars.csv").Expect(1).Errors);
        Assert.Equal(
            "empty.csv:3: error PC4001: the column 'thickness' is empty; write a plain number, such as 12.5 or 3e-2, or put # in front of the line\n",
            folder.Run("fit", "contrast", "empty.csv").Expect(1).Errors);
    }

    [Fact]
    public void Dots_may_state_factors_of_a_charge()
    {
        double[] radii = [15, 25, 40, 60, 90, 150, 300, 600, 1000, 1500, 2200, 3000];
        double[] factors = [.. radii.Select(r => 1 / ((Math.Exp(-r * r / 3600) / 3600) + (0.74 * Math.Exp(-r * r / 4e6) / 4e6)) / 1e4)];
        string Table(string column, double unit) => column + ", radius [nm]\n" + string.Concat(radii.Zip(factors, (r, factor) => FormattableString.Invariant($"{unit * factor},{r}\n")));
        using WorkFolder folder = new WorkFolder().With("charges.csv", Table("charge [fC]", 20)).With("factors.csv", Table("factor", 1));
        Assert.Equal(folder.Run("fit", "spread", "charges.csv", "--spot", "0 nm").Expect(0).Output, folder.Run("fit", "spread", "factors.csv", "--spot", "0 nm", "--base-charge", "20 fC").Expect(0).Output);
        Assert.Equal(
            "patternc fit: error PC0001: the table has dose factors, and it is not said of which charge; add --base-charge with the charge of a dot of the test's process\n",
            folder.Run("fit", "spread", "factors.csv", "--spot", "0 nm").Expect(2).Errors);
    }

    [Fact]
    public void A_plot_is_a_picture_in_the_form_that_its_name_says()
    {
        using WorkFolder folder = new WorkFolder().With("dose.csv", DoseTest);
        folder.Run("fit", "contrast", "dose.csv", "--plot", "curve.svg").Expect(0);
        folder.Run("fit", "contrast", "dose.csv", "--plot", "curve.png").Expect(0);
        string svg = File.ReadAllText(folder["curve.svg"]);
        Assert.Contains("onset dose 116 (113 to 119)", svg, StringComparison.Ordinal);
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], folder.Read("curve.png")[..4]);
    }

    [Fact]
    public void A_fitted_backscattered_range_is_held_against_the_range_of_electrons()
    {
        // Dots of a spread with a backscattered range of 2 um, as for 20 keV on silicon.
        double[] radii = [15, 25, 40, 60, 90, 150, 300, 600, 1000, 1500, 2200, 3000];
        string table = "charge [fC], radius [nm]\n" + string.Concat(radii.Select((r, i) => FormattableString.Invariant(
            $"{(1 + 0.01 * (i % 3)) / (Math.Exp(-r * r / 3600) / 3600 + 0.74 * Math.Exp(-r * r / 4e6) / 4e6):G6},{r}\n")));
        using WorkFolder folder = new WorkFolder().With("dots.csv", table);
        Assert.Empty(folder.Run("fit", "spread", "dots.csv", "--spot", "0 nm", "--energy", "20 keV").Expect(0).Errors);
        Assert.Contains(
            "warning PC1606: a backscattered range of ", folder.Run("fit", "spread", "dots.csv", "--spot", "0 nm", "--energy", "30 keV", "--substrate", "gold").Expect(0).Errors, StringComparison.Ordinal);

        // Ranges by density: silica is lighter than silicon. A word of two parts is taken as files write it and with a dash.
        foreach (string substrate in new[] { "fused silica", "fused-silica" })
        {
            Assert.Equal(
                folder.Run("fit", "spread", "dots.csv", "--spot", "0 nm", "--energy", "20 keV").Expect(0).Output,
                folder.Run("fit", "spread", "dots.csv", "--spot", "0 nm", "--energy", "20 keV", "--substrate", substrate).Expect(0).Output);
        }
    }

    [Fact]
    public void A_dot_test_without_its_spot_is_refused()
    {
        using WorkFolder folder = new WorkFolder().With("dots.csv", "charge [fC], radius [nm]\n1,10\n2,20\n30,100\n400,500\n5000,2000\n");
        Assert.Equal(
            "patternc fit: error PC0001: it is not said with which spot the dots were written, and the process file's spread holds none; add --spot with its full width at half maximum, such as --spot \"20 nm\"; --spot \"0 nm\" if it is negligible\n",
            folder.Run("fit", "spread", "dots.csv").Expect(2).Errors);
    }

    [Fact]
    public void Dose_factors_are_doses_of_a_base_dose()
    {
        using WorkFolder folder = new WorkFolder().With("dose.csv", DoseTest).With(
            "factors.csv", string.Join('\n', DoseTest.Split('\n').Select((line, i) => i == 0 ? "factor, thickness [nm]"
                : line.Length == 0 ? "" : $"{(double.Parse(line.Split(',')[0], CultureInfo.InvariantCulture) / 250).ToString("R", CultureInfo.InvariantCulture)},{line.Split(',')[1]}")));
        Assert.Equal(
            folder.Run("fit", "contrast", "dose.csv").Expect(0).Output,
            folder.Run("fit", "contrast", "factors.csv", "--base-dose", "250 uC/cm2").Expect(0).Output);
        Assert.Equal(
            "patternc fit: error PC0001: the table has dose factors, and it is not said of which dose; add --base-dose with the area dose of the test's process\n",
            folder.Run("fit", "contrast", "factors.csv").Expect(2).Errors);
        Assert.StartsWith(
            "patternc fit: error PC0001: --base-dose goes with a column 'factor'", folder.Run("fit", "contrast", "dose.csv", "--base-dose", "250 uC/cm2").Expect(2).Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void The_tone_of_a_dose_test_is_that_of_the_process_file()
    {
        const string Process = "process: test\ndose: {area: 300 uC/cm2, line: 1 nC/cm, dot: 10 fC}\nresist: {tone: negative, gel: 60 uC/cm2, retention: 90 uC/cm2}\n";
        const string Readings = "feature, drawn [nm], dose [uC/cm2], stands\nsquare,12000,60,no\nsquare,12000,80,no\nsquare,12000,100,yes\n";
        using WorkFolder folder = new WorkFolder().With("process.yaml", Process + "spread: {forward: 60 nm, backscatter: 4 um, ratio: 0.74}\n")
            .With("no-spread.yaml", Process).With("stands.csv", Readings).With("cleared.csv", Readings.Replace("stands", "cleared", StringComparison.Ordinal));
        string[] settings = ["--process", "process.yaml", "--spot", "20 nm"];
        Assert.Contains("edges print where half of the film remains", folder.Run(["fit", "dose", "stands.csv", .. settings]).Expect(0).Output, StringComparison.Ordinal);
        Assert.Equal(
            "cleared.csv: error PC4072: the column 'cleared' belongs to a positive resist; state --tone positive, or name the column 'stands'\n",
            folder.Run(["fit", "dose", "cleared.csv", .. settings]).Expect(1).Errors);
        Assert.Contains("edges print where the resist is gone", folder.Run(["fit", "dose", "cleared.csv", .. settings, "--tone", "positive"]).Expect(0).Output, StringComparison.Ordinal);
        Assert.Equal(
            "patternc fit: error PC0001: the process file has no spread, without which edges cannot be told from middles; measure it with 'patternc fit spread', or begin with the one of the built-in process file\n",
            folder.Run("fit", "dose", "stands.csv", "--process", "no-spread.yaml", "--spot", "20 nm").Expect(2).Errors);
    }

    [Fact]
    public void A_table_without_units_is_told_how_to_name_its_columns()
    {
        using var folder = new WorkFolder();
        Outcome outcome = folder.Pipe("dose, thickness [nm]\n50,200\n"u8.ToArray(), "fit", "contrast").Expect(1);
        Assert.Equal("standard input:1: error PC4001: the column 'dose' needs an area dose as its unit; name it 'dose [uC/cm2]'\n", outcome.Errors);
    }

    [Fact]
    public void Without_a_kind_the_kinds_are_named()
    {
        using var folder = new WorkFolder();
        Assert.Equal(
            "patternc fit: error PC0001: it is not said what to fit; contrast, dose, spread, blanker, settling, hum, field, converter, alignment, stage or sample; see 'patternc fit --help'\n",
            folder.Run("fit").Expect(2).Errors);
    }

    // A deflection of 4.2 us that starts 1.5 us late, read to the nearest nanometre.
    [Fact]
    public void Settling_can_be_pasted_into_a_machine_file()
    {
        using WorkFolder folder = new WorkFolder().With(
            "bars.csv", "jump [um], wait [us], displacement [nm]\n10,5,4347\n80,5,34773\n10,10,1322\n80,10,10574\n10,20,122\n80,20,978\n80,30,90\n");
        string fragment = folder.Run("fit", "settling", "bars.csv", "--left", "5 nm", "--plot", "settling.png").Expect(0).Output;
        Assert.Contains("\n  time_constant: 4.2 us\n", fragment, StringComparison.Ordinal);
        Assert.Contains("    - [80 um, 42.16 us]\n", fragment, StringComparison.Ordinal);
        Assert.Contains("settling.png", folder.Entries);
        string machine = folder.Run("build", "--print-defaults", "machine").Expect(0).Output;
        int start = machine.IndexOf("settle:\n", StringComparison.Ordinal);
        int end = machine.IndexOf("clock:\n", StringComparison.Ordinal);
        folder.With("machine.yaml", machine[..start] + fragment + "  fixed: 1 us\n" + machine[end..]).With("a.dxf", Patterns.Dxf);
        folder.Run("build", "a.dxf", "--machine", "machine.yaml").Expect(0);
    }

    // Outputs with gains of 1.002 and 0.998, offsets of 5 and -3 mV, two steps more from the middle on, 0.1 % of the other, and ends at 9.7 V.
    [Fact]
    public void Converters_are_held_read_fitted_and_written_with()
    {
        const string Machine = "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: offset binary}\ndeflection:\n  field: 100 um\n";
        const string Rest = "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n";
        using WorkFolder folder = new WorkFolder().With("machine.yaml", Machine + Rest);
        Assert.Empty(folder.Run("generate", "converter-readings", "--machine", "machine.yaml", "--hold", "2 s", "--carry-bits", "3", "--table", "readings.csv", "-o", "holds.records").Expect(0).Errors);
        folder.Run("emit", "holds.records", "-o", "holds.stream").Expect(0);
        string records = File.ReadAllText(folder["holds.records"]);
        Assert.Equal(records, folder.Run("decode", "holds.stream").Expect(0).Output);
        string[] jumps = [.. records.Split('\n').Where(line => line.StartsWith("jump ", StringComparison.Ordinal))];
        string[] lines = File.ReadAllLines(folder["readings.csv"]);
        Assert.Equal(lines.Length - 2, jumps.Length);
        Assert.Equal(("axis, code, other, volts [V], from [s]", "x, 0, 0, , 0", "jump 0 0 20000000"), (lines[1], lines[2], jumps[0]));
        Assert.Equal(
            "readings.csv:3: error PC4005: 'volts' is left empty; correct the line, or put # in front of it\n", folder.Run("fit", "converter", "readings.csv", "--machine", "machine.yaml").Expect(1).Errors);

        static double Own(bool isX, int code) =>
            Math.Clamp((isX ? 1.002 : 0.998) * (-10 + 20.0 / 65536 * (code + (code >= 32768 ? 2 : 0))) + (isX ? 0.005 : -0.003), -11, 9.7);
        string Read(string line)
        {
            string[] cells = line.Split(',', StringSplitOptions.TrimEntries);
            bool isX = cells[0] == "x";
            double volts = Own(isX, int.Parse(cells[1], CultureInfo.InvariantCulture)) + 0.001 * Own(!isX, int.Parse(cells[2], CultureInfo.InvariantCulture));
            return FormattableString.Invariant($"{cells[0]}, {cells[1]}, {cells[2]}, {volts:0.00000}, {cells[4]}");
        }

        folder.With("readings.csv", lines[1] + "\n" + string.Join('\n', lines[2..].Select(Read)) + "\n");
        Outcome fitted = folder.Run("fit", "converter", "readings.csv", "--machine", "machine.yaml", "--plot", "readings.svg").Expect(0);
        Assert.Empty(fitted.Errors);
        Assert.Contains("\n# x-usable: codes 0 to 61439 of 0 to 65535; the amplifier clips above\n", fitted.Output, StringComparison.Ordinal);
        Assert.Matches(@"(?m)^# x-gain-error: 0\.20\d+ %, standard error ", fitted.Output);
        Match crosstalk = Regex.Match(fitted.Output, @"(?m)^  crosstalk: \{x_from_y: ([0-9.]+), y_from_x: ([0-9.]+)\}$");
        Assert.All(crosstalk.Groups.Values.Skip(1), part => Assert.Equal(0.001, double.Parse(part.Value, CultureInfo.InvariantCulture), 1e-6));
        Assert.Equal(3, crosstalk.Groups.Count);
        Assert.EndsWith("  usable_x: [0, 61439]\n  usable_y: [0, 61439]\n", fitted.Output, StringComparison.Ordinal);
        Assert.Contains("what the outputs give off their straight lines", File.ReadAllText(folder["readings.svg"]), StringComparison.Ordinal);

        // A dot at 25, -30 um is 5 and -6 V.
        folder.With("fitted.yaml", Machine + string.Concat(fitted.Output.Split('\n').Where(line => line.StartsWith("  ", StringComparison.Ordinal)).Select(line => line + "\n")) + Rest)
            .With("dot.layout", "layout 1\nunit um\nlayer dots\ndot on dots at (25, -30)\n").With("far.layout", "layout 1\nunit um\nlayer dots\ndot on dots at (25, 45)\n");
        string[] dot = folder.Run("build", "dot.layout", "--machine", "fitted.yaml", "--format", "records", "-o", "-").Expect(0).Output.Split('\n').First(line => line.StartsWith("dot ", StringComparison.Ordinal)).Split(' ');
        (int x, int y) = (int.Parse(dot[1], CultureInfo.InvariantCulture), int.Parse(dot[2], CultureInfo.InvariantCulture));
        Assert.InRange(Own(true, x) + 0.001 * Own(false, y), 5 - 0.0002, 5 + 0.0002);
        Assert.InRange(Own(false, y) + 0.001 * Own(true, x), -6 - 0.0002, -6 + 0.0002);
        Outcome refused = folder.Run("build", "far.layout", "--machine", "fitted.yaml", "-o", "far.stream").Expect(1);
        Assert.Matches(
            @"error PC1405: \(25, 45\) um lies beyond what the amplifiers follow: output Y would need code 62\d\d\d, it follows from 0 to 61439 \('usable_y'\); move or shrink the drawing, or enlarge the field in the machine file \(a lower magnification\)", refused.Errors);
        Assert.DoesNotContain("far.stream", folder.Entries);
    }

    /// <summary>Records of all rates, a stream of them, and a table whose rows have room for a current; then a fit of such a table.</summary>
    [Fact]
    public void A_blanker_is_measured_with_a_current_meter()
    {
        const string Rest = "clock: {rate: 10 MHz, shortest_dwell: 1 ticks, longest_dwell: 65535 ticks}\nblanker: {active: high}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 8 MB/s, buffer: 64 KiB}\n";
        using WorkFolder folder = new WorkFolder().With(
            "machine.yaml", "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 100 um}\n" + Rest);
        Assert.Empty(folder.Run("generate", "blanker-readings", "--machine", "machine.yaml", "--aside", "40 um", "--hold", "5 ms", "--table", "currents.csv", "-o", "rates.records").Expect(0).Errors);
        folder.Run("emit", "rates.records", "--machine", "machine.yaml", "-o", "rates.stream").Expect(0);
        string[] rows = File.ReadAllLines(folder["currents.csv"]);
        Assert.Equal("on [us], off [us], deflection, current [pA], from [s], to [s]", rows[1]);
        Assert.Equal("0.1, 0, held, , 1, 1.005", rows[2]);
        Assert.Contains(rows, row => row.StartsWith("6.4, 0.1, enters, , ", StringComparison.Ordinal));
        Assert.Contains(
            "80 um aside of the field's centre is out of reach",
            folder.Run("generate", "blanker-readings", "--machine", "machine.yaml", "--aside", "80 um").Expect(2).Errors, StringComparison.Ordinal);

        // 200 pA, 0.5 us off less on at 50 %: the mean gains 0.5 us in each period.
        folder.With("rates.csv", "frequency [kHz], duty, current [pA]\n0, 1, 200\n0, 0, 0\n10, 0.5, 101\n20, 0.5, 102\n50, 0.5, 105\n100, 0.5, 110\n");
        Outcome told = folder.Run("fit", "blanker", "rates.csv").Expect(0);
        Assert.Contains("# off-delay - on-delay: 0.5 us, ", told.Output, StringComparison.Ordinal);
        Assert.EndsWith("blanker:\n  leak: 0 %\n", told.Output, StringComparison.Ordinal);
        Assert.EndsWith("blanker:\n  off_delay: 0.8 us\n  on_delay: 0.3 us\n  leak: 0 %\n", folder.Run("fit", "blanker", "rates.csv", "--on-delay", "0.3 us").Expect(0).Output, StringComparison.Ordinal);
    }

    [Fact]
    public void Holds_of_a_machine_without_a_blanker_are_doubted()
    {
        using WorkFolder folder = new WorkFolder();
        string machine = folder.Run("build", "--print-defaults", "machine").Expect(0).Output;
        int start = machine.IndexOf("blanker:\n", StringComparison.Ordinal), end = machine.IndexOf("beam:\n", StringComparison.Ordinal);
        folder.With("machine.yaml", machine[..start] + "blanker: none\n" + machine[end..]);
        Assert.Contains(
            "warning PC5005: this machine has no blanker: the beam exposes wherever it is held; turn the beam off at the microscope before these records are sent\n",
            folder.Run("generate", "converter-readings", "--machine", "machine.yaml", "-o", "holds.records").Expect(0).Errors, StringComparison.Ordinal);
    }
}
