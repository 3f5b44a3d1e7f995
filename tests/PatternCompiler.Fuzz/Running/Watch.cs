using System.IO.MemoryMappedFiles;

namespace PatternCompiler.Fuzz.Running;

/// <summary>
/// Runs one input and tells what was wrong with it: any exception but the documented one, or too much time. The input lies in
/// a file while it runs, so that it is known even where the whole process ends with it.
/// </summary>
internal sealed class Watch : IDisposable
{
    /// <summary>Processor time that one input may take: 2 s, of which code that notes its branches takes 2.5 times as many.</summary>
    public static readonly TimeSpan Patience = TimeSpan.FromSeconds(5);

    private const int LongestKept = 1 << 20;
    private static readonly TimeSpan GivesUp = TimeSpan.FromSeconds(10);

    private readonly MemoryMappedFile file;
    private readonly MemoryMappedViewAccessor view;

    /// <summary>Keeps the running input in a file.</summary>
    public Watch(string path)
    {
        file = MemoryMappedFile.CreateFromFile(path, FileMode.Create, null, LongestKept + sizeof(int));
        view = file.CreateViewAccessor();
    }

    /// <summary>The input that was running when a process ended.</summary>
    public static byte[] Kept(string path)
    {
        byte[] all = File.ReadAllBytes(path);
        return all.AsSpan(sizeof(int), BitConverter.ToInt32(all)).ToArray();
    }

    /// <summary>Runs an input; null if it ended as it may.</summary>
    public Fault? Run(FuzzTarget target, byte[] input)
    {
        Fault? fault = Try(target, input, out TimeSpan time);
        if (fault is null && time > Patience)
        {
            // Once more: the first time holds the compiling of the code and the collecting of others' memory.
            fault = Try(target, input, out time);
            fault ??= time > Patience ? new Fault("took too long", target.Name, $"{time.TotalSeconds:0.0} s of processor time") : null;
        }

        return fault;
    }

    /// <inheritdoc/>
    public void Dispose()
    {
        view.Dispose();
        file.Dispose();
    }

    private Fault? Try(FuzzTarget target, byte[] input, out TimeSpan time)
    {
        view.Write(0, Math.Min(input.Length, LongestKept));
        view.WriteArray(sizeof(int), input, 0, Math.Min(input.Length, LongestKept));
        TimeSpan before = Environment.CpuUsage.TotalTime;
        using var stop = new CancellationTokenSource(GivesUp);
        Coverage.Clear();
        try
        {
            target.Run(input, stop.Token);
            return null;
        }
        catch (OperationCanceledException)
        {
            return new Fault("took too long", target.Name, $"more than {GivesUp.TotalSeconds:0} s");
        }
        catch (Exception exception)
        {
            return Fault.Of(exception);
        }
        finally
        {
            time = Environment.CpuUsage.TotalTime - before;
        }
    }
}
