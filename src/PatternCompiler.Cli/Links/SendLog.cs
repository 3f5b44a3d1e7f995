using System.Globalization;
using System.Text;
using PatternCompiler.Cli.Files;
using PatternCompiler.Files;
using PatternCompiler.Send;

namespace PatternCompiler.Cli.Links;

/// <summary>A line for every event and for every second of progress, written at once, so that it is there after a crash.</summary>
internal sealed class SendLog : IDisposable
{
    private readonly string name;
    private readonly FileStream? file;
    private readonly TimeProvider time;
    private readonly long start;
    private long last;

    /// <summary>Starts a log; without a name nothing is kept.</summary>
    public SendLog(string? name, TimeProvider time)
    {
        this.name = name ?? "";
        this.time = time;
        start = time.GetTimestamp();
        file = name is null ? null : WriteGuard.Run(name, () => FileSystem.CreateOrEmpty(name));
    }

    /// <summary>Seconds since the log began.</summary>
    public double Seconds => time.GetElapsedTime(start).TotalSeconds;

    /// <summary>Takes progress; an event is always written.</summary>
    public void Take(SendProgress progress)
    {
        if (progress.Event is not null || time.GetElapsedTime(last) >= TimeSpan.FromSeconds(1))
        {
            last = time.GetTimestamp();
            Write(progress.Event ?? string.Create(CultureInfo.InvariantCulture, $"{progress.RecordsWritten} of {progress.TotalRecords} records written"));
        }
    }

    /// <summary>Writes a line.</summary>
    public void Write(string text)
    {
        if (file is not null)
        {
            byte[] line = Encoding.UTF8.GetBytes(string.Create(CultureInfo.InvariantCulture, $"{Seconds,10:0.000} s  {text}\n"));
            WriteGuard.Run(name, () => file.Write(line));
        }
    }

    public void Dispose() => file?.Dispose();
}
