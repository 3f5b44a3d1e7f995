using System.Diagnostics;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// The receiver program at the far end of a pseudo-terminal, with a cable between that does what it is told to each byte:
/// pass it, change it, swallow it, break.
/// </summary>
internal sealed class BadCable : IDisposable
{
    private readonly List<string> actions = [];
    private readonly Terminal terminal = new();
    private readonly string[] arguments;
    private readonly string program;
    private readonly Task there;
    private readonly Func<long, byte, byte?>? damageBack;
    private Process process;
    private Task back;
    private volatile bool isOver;

    /// <param name="program">The receiver.</param>
    /// <param name="bits">Its converters.</param>
    /// <param name="coding">Their coding.</param>
    /// <param name="damageThere">What happens to byte number n towards the receiver: null to swallow it.</param>
    /// <param name="damageBack">Likewise from the receiver.</param>
    /// <param name="breaksAt">Number of the byte towards the receiver at which the cable is pulled.</param>
    /// <param name="resetsAt">Number of the byte towards the receiver that is lost because the receiver starts anew.</param>
    public BadCable(
        string program,
        int bits,
        int coding,
        Func<long, byte, byte?>? damageThere = null,
        Func<long, byte, byte?>? damageBack = null,
        long breaksAt = long.MaxValue,
        long resetsAt = long.MaxValue)
    {
        this.program = program;
        this.damageBack = damageBack;
        arguments = [$"{bits}", $"{coding}"];
        (process, back) = StartReceiver();
        there = Task.Factory.StartNew(
            () =>
            {
                Relay(terminal.Master, () => process.StandardInput.BaseStream, Lose, breaksAt);
                process.StandardInput.Close();
            },
            TaskCreationOptions.LongRunning);

        byte? Lose(long position, byte value)
        {
            if (position == resetsAt)
            {
                Reset();
                return null;
            }

            return damageThere is null ? value : damageThere(position, value);
        }
    }

    /// <summary>Path to open like a serial port.</summary>
    public string Name => terminal.Name;

    /// <summary>Opens the near end.</summary>
    public FileStream OpenEnd(FileAccess access) => terminal.OpenEnd(access);

    /// <summary>Ends the receiver and returns what it has done.</summary>
    public string[] Finish()
    {
        isOver = true;
        if (!there.IsCompleted)
        {
            terminal.Wake();
        }

        Assert.True(there.Wait(TimeSpan.FromSeconds(10)), "the cable does not end");
        Assert.True(process.WaitForExit(10_000), "the receiver does not end");
        back.Wait(TimeSpan.FromSeconds(10));
        terminal.Dispose();
        return [.. actions.SelectMany(File.ReadAllLines)];
    }

    public void Dispose()
    {
        if (!process.HasExited)
        {
            process.Kill();
        }

        process.Dispose();
        terminal.Dispose();
        actions.ForEach(File.Delete);
    }

    private (Process Process, Task Back) StartReceiver()
    {
        actions.Add(Path.GetTempFileName());
        Process started = Process.Start(new ProcessStartInfo(program, [.. arguments, actions[^1]])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        })!;
        Stream output = started.StandardOutput.BaseStream;
        return (started, Task.Factory.StartNew(() => Relay(output, () => terminal.Master, damageBack, long.MaxValue), TaskCreationOptions.LongRunning));
    }

    private void Reset()
    {
        process.Kill();
        process.WaitForExit();
        back.Wait(TimeSpan.FromSeconds(10));
        process.Dispose();
        (process, back) = StartReceiver();
    }

    private void Relay(Stream from, Func<Stream> target, Func<long, byte, byte?>? damage, long breaksAt)
    {
        byte[] buffer = new byte[256];
        long position = 0;
        try
        {
            while (from.Read(buffer, 0, buffer.Length) is int count and > 0 && !isOver)
            {
                Stream to = target();
                int kept = 0;
                for (int i = 0; i < count; i++, position++)
                {
                    if (position == breaksAt)
                    {
                        to.Write(buffer, 0, kept);
                        terminal.Dispose();
                        return;
                    }

                    if ((damage is null ? buffer[i] : damage(position, buffer[i])) is byte value)
                    {
                        buffer[kept++] = value;
                    }
                }

                if (to == target())
                {
                    to.Write(buffer, 0, kept);
                    to.Flush();
                }
            }
        }
        catch (Exception fault) when (fault is IOException or ObjectDisposedException)
        {
            // The other side is gone: the cable ends.
        }
    }
}
