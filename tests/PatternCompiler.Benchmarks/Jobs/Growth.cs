using System.Globalization;
using PatternCompiler.Jobs;

namespace PatternCompiler.Benchmarks.Jobs;

/// <summary>How time and memory of each command grow with the number of figures: small quadrilaterals of any angle, 60 nm wide at a pitch of 96 nm.</summary>
internal static class Growth
{
    private const int Repeats = 3;

    // A field of 98 um has 400 million pixels of 5 nm.
    private const int LongestSimulated = 1020;

    // Lines so near each other that each figure takes some.
    private const string JobText = "job: growth\nmachine: machine.yaml\nprocess: process.yaml\nsources: [figures.layout]\ngrid: 0.1 nm\nfill: {line_pitch: 20 nm, point_step: 20 nm}\noutputs: [{file: figures.stream, format: stream}]\n";

    /// <summary>Prints a table in Markdown, a line for each command and size.</summary>
    /// <param name="executable">The program.</param>
    /// <param name="sides">Figures along a side of the square that they fill.</param>
    public static void Run(string executable, int[] sides)
    {
        Console.WriteLine("| command | figures | time | processor | memory | bytes | time a figure |\n|---|--:|--:|--:|--:|--:|--:|");
        foreach (int side in sides)
        {
            string folder = Directory.CreateTempSubdirectory("growth").FullName;
            try
            {
                Write(folder, side);
                Measure("fracture", ["fracture", "figures.layout", "--job", "job.yaml", "-o", "figures.figures"], "figures.figures");
                Measure("fill", ["fill", "figures.figures", "--job", "job.yaml", "-o", "figures.strokes"], "figures.strokes");
                Measure("correct", ["correct", "figures.figures", "--job", "job.yaml", "-o", "corrected.figures"], "corrected.figures");
                Measure("build", ["build", "job.yaml"], "figures.stream");
                Measure("estimate", ["estimate", "figures.stream", "--job", "job.yaml"], "figures.stream");
                if (side <= LongestSimulated)
                {
                    Measure("simulate", ["simulate", "figures.stream", "--job", "job.yaml", "--pixel", "5 nm"], "figures.stream");
                }

                Measure("preview", ["preview", "figures.stream", "-o", "figures.png"], "figures.png");
                File.Delete(Path.Combine(folder, "copy"));
                Tell("copy of the stream (`cp`)", Best(() => Watched.Run(folder, "cp", "figures.stream", "copy")), "copy");
            }
            finally
            {
                Directory.Delete(folder, recursive: true);
            }

            void Measure(string name, string[] arguments, string file) => Tell($"`{name}`", Best(() => Watched.Run(folder, executable, [.. arguments, "--quiet"])), file);

            Watched Best(Func<Watched> run) => Enumerable.Range(0, side >= 1000 ? 1 : Repeats).Select(_ => run()).MinBy(one => one.Seconds);

            void Tell(string name, Watched best, string file) => Console.WriteLine(string.Create(
                CultureInfo.InvariantCulture,
                $"| {name} | {(long)side * side} | {best.Seconds:0.00} s | {best.ProcessorSeconds:0.00} s | {best.PeakBytes / 1e6:0} MB | {new FileInfo(Path.Combine(folder, file)).Length / 1e6:0.0} MB | {1e6 * best.Seconds / side / side:0.0} us |"));
        }
    }

    private static void Write(string folder, int side)
    {
        string start = string.Create(CultureInfo.InvariantCulture, $"{-48 * side}");
        File.WriteAllText(
            Path.Combine(folder, "figures.layout"),
            $"layout 1\nunit nm\nlayer a\ncell row\n  repeat {side} as i\n    polygon on a (i*96, 0) (i*96+60, 5) (i*96+55, 62) (i*96-3, 58)\n  end\nend\nrepeat {side} as j\n  place row at ({start}, j*96{start})\nend\n");
        File.WriteAllText(Path.Combine(folder, "job.yaml"), JobText);
        // Ten million take a larger field.
        string field = side > 1000 ? "400 um" : "100 um";
        File.WriteAllText(Path.Combine(folder, "machine.yaml"), DefaultFiles.MachineText.Replace("field: 100 um", $"field: {field}", StringComparison.Ordinal).Replace("bits: 16", "bits: 20", StringComparison.Ordinal));
        File.WriteAllText(Path.Combine(folder, "process.yaml"), DefaultFiles.ProcessText);
    }
}
