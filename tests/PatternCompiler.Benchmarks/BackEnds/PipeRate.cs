using System.Diagnostics;
using System.Globalization;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Benchmarks.BackEnds;

/// <summary>
/// Emits a raster of points through a pipe with the real program, and sends the same bytes through the same pipe with
/// <c>cat</c>: what part of the machine's pipe rate emission reaches, and how much memory it takes.
/// </summary>
internal static class PipeRate
{
    private const int BufferBytes = 1 << 16;

    /// <summary>Measures once.</summary>
    /// <param name="executable">The program.</param>
    /// <param name="side">Points along a side of the raster.</param>
    public static void Run(string executable, int side)
    {
        string folder = Directory.CreateTempSubdirectory("pipe").FullName;
        try
        {
            string records = Path.Combine(folder, "raster.records"), bytes = Path.Combine(folder, "raster.stream");
            WriteRaster(records, side);
            foreach (string profile in new[] { "lines", "points" })
            {
                string[] emit = ["emit", records, "--profile", profile, "-q"];
                using (FileStream keep = File.Create(bytes))
                {
                    Measure(executable, emit, keep);
                }

                (double own, long ownBytes, long peak) = Measure(executable, emit, null);
                (double copy, long copied, _) = Measure("cat", [bytes], null);
                Console.WriteLine(
                    $"{side} x {side} points as {profile}: {Mega(ownBytes)} MB; emitted in {Text(own)} s ({Mega(ownBytes / own)} MB/s, {Mega((long)side * side / own)} million points/s, "
                    + $"at most {Mega(peak)} MB of memory); the same {Mega(copied)} MB from cat in {Text(copy)} s ({Mega(copied / copy)} MB/s): {Text(100 * copy / own)} % of the pipe's rate");
            }
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static void WriteRaster(string path, int side)
    {
        using FileStream target = File.Create(path);
        var writer = new RecordsBinaryWriter(target);
        writer.Begin(new RecordsHeader("raster", new Dac(16, -10, 10, DacCoding.OffsetBinary, DacFullScale.OneBeyondLastCode), 1e7, 1, 65535, 1, 1, false)
        {
            BlankLevel = BlankLevel.High,
        });
        for (int y = 0; y < side; y++)
        {
            writer.Write([DeflectionRecord.Jump(0, y, 500), DeflectionRecord.Line(0, y, side - 1, y, side, (side * 21L) + 17)]);
        }

        writer.End();
    }

    private static (double Seconds, long Bytes, long PeakBytes) Measure(string program, string[] arguments, Stream? keep)
    {
        var watch = Stopwatch.StartNew();
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;
        Stream output = process.StandardOutput.BaseStream;
        var buffer = new byte[BufferBytes];
        long bytes = 0, peak = 0, next = 0;
        for (int read; (read = output.Read(buffer)) > 0; bytes += read)
        {
            keep?.Write(buffer, 0, read);
            if (bytes >= next)
            {
                peak = PeakOf(process.Id, peak);
                next = Math.Max(next * 2, 1 << 20);
            }
        }

        process.WaitForExit();
        return (watch.Elapsed.TotalSeconds, bytes, peak);
    }

    private static long PeakOf(int process, long before)
    {
        try
        {
            string line = File.ReadLines($"/proc/{process}/status").First(text => text.StartsWith("VmHWM:", StringComparison.Ordinal));
            return Math.Max(before, long.Parse(line.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1], CultureInfo.InvariantCulture) * 1024);
        }
        catch (Exception fault) when (fault is IOException or InvalidOperationException)
        {
            return before;
        }
    }

    private static string Mega(double value) => (value / 1e6).ToString("0.#", CultureInfo.InvariantCulture);

    private static string Text(double value) => value.ToString("0.###", CultureInfo.InvariantCulture);
}
