using System.Diagnostics;
using System.Globalization;

namespace PatternCompiler.Benchmarks.Jobs;

/// <summary>A program run to its end: seconds by the clock, seconds of processor, and the largest memory it held, as the Linux kernel counts them.</summary>
internal readonly record struct Watched(double Seconds, double ProcessorSeconds, long PeakBytes)
{
    private const double TicksPerSecond = 100;

    /// <summary>Runs a program in a folder; its output is dropped, and anything but success is an error. The kernel's counts are read every few milliseconds.</summary>
    public static Watched Run(string folder, string program, params string[] arguments)
    {
        var watch = Stopwatch.StartNew();
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> told = process.StandardError.ReadToEndAsync();
        Task dropped = process.StandardOutput.BaseStream.CopyToAsync(Stream.Null);
        Watched last = default;
        while (!process.WaitForExit(5))
        {
            last = Look(process.Id, last);
        }

        dropped.Wait();
        return process.ExitCode is 0 or 3
            ? last with { Seconds = watch.Elapsed.TotalSeconds }
            : throw new InvalidOperationException($"{program} {string.Join(' ', arguments)} ended with code {process.ExitCode}: {told.Result}");
    }

    private static Watched Look(int process, Watched before)
    {
        try
        {
            string peak = File.ReadLines($"/proc/{process}/status").First(line => line.StartsWith("VmHWM:", StringComparison.Ordinal));
            string[] counts = File.ReadAllText($"/proc/{process}/stat").Split(") ")[^1].Split(' ');
            return new Watched(0, (Number(counts[11]) + Number(counts[12])) / TicksPerSecond, Number(peak.Split(' ', StringSplitOptions.RemoveEmptyEntries)[1]) * 1024);
        }
        catch (Exception fault) when (fault is IOException or InvalidOperationException)
        {
            return before;
        }
    }

    private static long Number(string text) => long.Parse(text, CultureInfo.InvariantCulture);
}
