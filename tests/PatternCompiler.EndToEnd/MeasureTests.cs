using System.Buffers.Binary;
using System.Globalization;
using System.Text;
using System.Text.Json;

namespace PatternCompiler.EndToEnd;

public sealed class MeasureTests
{
    private static readonly (double Left, double Bottom, double Right, double Top)[] Rectangles =
        [(-600, -400, -450, 400), (-250, -400, -50, 300), (150, -300, 250, 400), (400, -100, 700, 200)];

    private const string Layout =
        "layout 1\nunit nm\ngrid 0.1 nm\ndrawing bars\nlayer a\n"
        + "rect on a from (-600, -400) to (-450, 400)\nrect on a from (-250, -400) to (-50, 300)\nrect on a from (150, -300) to (250, 400)\nrect on a from (400, -100) to (700, 200)\n";

    [Fact]
    public void A_micrograph_gives_a_report_tables_and_an_overlay()
    {
        using WorkFolder folder = Prepared();
        Outcome outcome = folder.Run("measure", "a.npy", "--against", "a.layout", "--pixel", "5 nm", "--widths", "w.csv", "--doses", "d.csv", "--overlay", "o.png").Expect(0);
        Assert.Empty(outcome.Errors);
        Assert.StartsWith("picture             320 x 240 pixels of 5 nm, as stated\nplace               its middle at (0.02, -0.01) um, turned by ", outcome.Output, StringComparison.Ordinal);
        Assert.Matches(@"\nedge error          \+(2\.[6-9]|3\.[0-4])\d? nm mean, ", outcome.Output);
        string[] widths = File.ReadAllLines(folder["w.csv"]);
        Assert.Equal("feature, drawn [nm], length [um], factor, measured [nm], low [nm], high [nm], width roughness [nm], edge roughness [nm], places, x [um], y [um]", widths[0]);
        Assert.Matches(@"^bar, 150, 0\.8, 1, 15[56]\.", widths.Single(line => line.StartsWith("bar, 150, ", StringComparison.Ordinal)));
        Assert.Equal("feature, drawn [nm], length [um], bars, pitch [nm], beside [um], factor, measured [nm], cleared", File.ReadAllLines(folder["d.csv"])[0]);
        Assert.Contains("square, 300, , , , , 1, , yes", File.ReadAllLines(folder["d.csv"]));
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], File.ReadAllBytes(folder["o.png"])[..4]);
        using JsonDocument json = JsonDocument.Parse(folder.Pipe(File.ReadAllBytes(folder["a.npy"]), "measure", "--against", "a.layout", "--pixel", "5.2 nm", "--fit", "similarity", "--json").Expect(0).Output);
        Assert.Equal(5, json.RootElement.GetProperty("nanometresPerPixel").GetDouble(), 0.02);
        Assert.Equal(0, json.RootElement.GetProperty("edges").GetProperty("lost").GetInt32());
        Assert.Equal(3, json.RootElement.GetProperty("edges").GetProperty("meanNanometres").GetDouble(), 0.5);
    }

    [Fact]
    public void What_is_missing_or_wrong_is_one_message_and_no_output()
    {
        using WorkFolder folder = Prepared().With("b.layout", "layout 1\nunit um\ngrid 0.1 nm\ndrawing b\nlayer a\npolygon on a (-0.6, -0.4) (0.5, -0.3) (-0.1, 0.45)\n");
        Assert.Equal(
            "patternc measure: error PC0001: it is not said what the micrograph shows; add --against with the layout or drawing that was written\n",
            folder.Run("measure", "a.npy").Expect(2).Errors);
        Assert.Equal(
            "a.npy: error PC4109: the file does not state the size of a pixel; add for example --pixel \"5 nm\"; if it is only known within a fifth, --fit similarity, too\n",
            folder.Run("measure", "a.npy", "--against", "a.layout").Expect(1).Errors);
        Assert.Equal(
            "a.npy: error PC4111: no cross with edges on all sides was found in this picture, and a table of them was asked for; leave the table out, or take a picture that shows them\n",
            folder.Run("measure", "a.npy", "--against", "a.layout", "--pixel", "5 nm", "--widths", "w.csv", "--marks", "m.csv", "-o", "r.txt").Expect(1).Errors);
        Assert.Matches(
            @"^a\.npy: error PC4103: the drawing explains \d+ % of this picture at best, and 30 % are needed: it shows something else; name the drawing that was written there; look at --pixel\n$",
            folder.Run("measure", "a.npy", "--against", "b.layout", "--pixel", "5 nm", "-o", "r.txt").Expect(1).Errors);
        Assert.Equal(
            "no/o.png: error PC0004: cannot write: the folder does not exist; create it with: mkdir -p no\n",
            folder.Run("measure", "a.npy", "--against", "a.layout", "--pixel", "5 nm", "--widths", "w.csv", "--overlay", "no/o.png", "-o", "r.txt").Expect(4).Errors);
        Assert.False(File.Exists(folder["w.csv"]) || File.Exists(folder["m.csv"]) || File.Exists(folder["r.txt"]));
        Assert.Equal(
            "patternc measure --widths: error PC0060: 'w.png' ends in .png, which means a PNG picture, but it would hold a table of measurements; end the name in .csv\n",
            folder.Run("measure", "a.npy", "--against", "a.layout", "--pixel", "5 nm", "--widths", "w.png").Expect(2).Errors);
    }

    /// <summary>
    /// Nine crosses, in one picture as they are drawn and in one of the sample turned by a quarter and moved, give the two views that the
    /// fit of the field takes one behind the other.
    /// </summary>
    [Fact]
    public void Pictures_of_a_turned_sample_give_views_of_the_field()
    {
        (double X, double Y)[] middles = [(-900, -900), (0, -900), (900, -900), (-900, 0), (0, 0), (900, 0), (-900, 900), (0, 900), (850, 900)];
        (double Left, double Bottom, double Right, double Top)[] arms = [.. middles.SelectMany(m => ((double, double, double, double)[])
            [(m.X - 200, m.Y - 40, m.X + 200, m.Y + 40), (m.X - 40, m.Y - 200, m.X + 40, m.Y + 200)])];
        using var folder = new WorkFolder();
        folder.With("grid.layout", "layout 1\nunit nm\ngrid 0.1 nm\ndrawing grid\nlayer a\n" + string.Concat(arms.Select(r => FormattableString.Invariant($"rect on a from ({r.Left}, {r.Bottom}) to ({r.Right}, {r.Top})\n"))));
        File.WriteAllBytes(folder["straight.npy"], Picture(480, 480, arms, (u, v) => (u + 20, v - 10)));

        // A place p of the sample is seen at (-p.Y, p.X) + (60, 35).
        File.WriteAllBytes(folder["turned.npy"], Picture(480, 480, arms, (u, v) => (v - 35, -(u - 60))));
        folder.Run("measure", "straight.npy", "--against", "grid.layout", "--pixel", "5 nm", "--seen", "straight.csv").Expect(0);
        folder.Run("measure", "turned.npy", "--against", "grid.layout", "--pixel", "5 nm", "--turned", "90", "--seen", "turned.csv").Expect(0);
        Assert.Equal("view, drawn x [um], drawn y [um], seen x [um], seen y [um], standard error x [nm], standard error y [nm]", File.ReadAllLines(folder["straight.csv"])[0]);
        foreach ((string view, Func<double, double, (double X, double Y)> seenAt) in ((string, Func<double, double, (double, double)>)[])[("straight", (x, y) => (x - 20, y + 10)), ("turned", (x, y) => (-y + 60, x + 35))])
        {
            double[][] rows = [.. File.ReadAllLines(folder[view + ".csv"]).Skip(1).Select(line => line.Split(", ")).Select(cells =>
            {
                Assert.Equal(view, cells[0]);
                return cells[1..].Select(cell => 1000 * double.Parse(cell, CultureInfo.InvariantCulture)).ToArray();
            })];
            Assert.Equal(middles.Order(), rows.Select(row => (row[0], row[1])).Order());
            Assert.All(rows, row => Assert.InRange(Math.Max(Math.Abs(row[2] - seenAt(row[0], row[1]).X), Math.Abs(row[3] - seenAt(row[0], row[1]).Y)), 0, 1.5));
        }

        File.WriteAllText(folder["views.csv"], File.ReadAllText(folder["straight.csv"]) + File.ReadAllText(folder["turned.csv"]));
        folder.With("m.yaml", "machine: m\ndac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}\ndeflection: {field: 2.4 um}\nclock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}\nblanker: {active: low}\nbeam: {current: 100 pA, spot: 20 nm, energy: 30 keV}\nlink: {rate: 1 MB/s, buffer: 4 KiB}\n");
        Outcome fitted = folder.Run("fit", "field", "views.csv", "--machine", "m.yaml", "--order", "1", "--known", "-900 nm, 0 nm, 900 nm, 0 nm, 1.8 um", "--plot", "views.png").Expect(0);
        Assert.Contains("# view turned: sample turned by 90", fitted.Output, StringComparison.Ordinal);
        Assert.Contains("# scale from the known length", fitted.Output, StringComparison.Ordinal);
        Assert.Contains("PC4056", fitted.Errors, StringComparison.Ordinal);
        Assert.Matches(@"\n      x: \[0 nm, (1199\.\d+|1200(\.\d+)?) nm, -?\d(\.\d+)? nm\]\n", fitted.Output);
        Assert.Contains(
            "--known goes with a column 'view', which the table does not have",
            folder.With("plain.csv", "commanded x [um], commanded y [um], measured x [um], measured y [um]\n0, 0, 0, 0\n").Run("fit", "field", "plain.csv", "--known", "0 nm, 0 nm, 1 um, 0 nm, 1 um").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("option '--known' takes five lengths X,Y,X,Y,LENGTH, not '1 um'", folder.Run("fit", "field", "views.csv", "--known", "1 um").Expect(2).Errors, StringComparison.Ordinal);
        Assert.Contains("option '--known' takes two different places and a length above zero", folder.Run("fit", "field", "views.csv", "--known", "0 um, 0 um, 0 um, 0 um, 1 um").Expect(2).Errors, StringComparison.Ordinal);
    }

    private static WorkFolder Prepared()
    {
        var folder = new WorkFolder();
        folder.With("a.layout", Layout);
        File.WriteAllBytes(folder["a.npy"], Picture(320, 240, Rectangles, (u, v) => (20 + u, -10 + v)));
        return folder;
    }

    /// <summary>Bars that print 3 nm outside of where they are drawn, with smooth steps and even noise, as 16-bit greys in pixels of 5 nm.</summary>
    private static byte[] Picture(int width, int height, (double Left, double Bottom, double Right, double Top)[] rectangles, Func<double, double, (double X, double Y)> place)
    {
        string header = $"{{'descr': '<u2', 'fortran_order': False, 'shape': ({height}, {width}), }}".PadRight(117) + "\n";
        var file = new byte[10 + header.Length + 2 * width * height];
        byte[] start = [0x93, .. "NUMPY"u8, 1, 0, (byte)header.Length, 0, .. Encoding.ASCII.GetBytes(header)];
        start.CopyTo(file, 0);
        uint state = 12345;
        for (int i = 0; i < width * height; i++)
        {
            (double x, double y) = place(5 * (i % width - (width - 1) / 2.0), 5 * ((height - 1) / 2.0 - i / width));
            double inside = rectangles.Max(r => Step(x - r.Left + 3) * Step(r.Right + 3 - x) * Step(y - r.Bottom + 3) * Step(r.Top + 3 - y));
            state = state * 1664525 + 1013904223;
            double grey = 30_000 - 12_000 * inside + (state >> 8) / 16_777_216.0 * 6000;
            BinaryPrimitives.WriteUInt16LittleEndian(file.AsSpan(start.Length + 2 * i), (ushort)grey);
        }

        return file;
    }

    private static double Step(double d) => 0.5 + 0.5 * Math.Tanh(d / 10);
}
