using System.Diagnostics;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// The receiver program at the far end of a pseudo-terminal, with a cable between that does what it is told to each byte:
/// pass it, change it, swallow it, break.
/// </summary>
internal sealed class BadCable : IDisposable
{
    private readonly string actions = Path.GetTempFileName();
    private readonly Terminal terminal = new();
    private readonly Process process;
    private readonly Task there;
    private readonly Task back;
    private volatile bool isOver;

    /// <param name="program">The receiver.</param>
    /// <param name="bits">Its converters.</param>
    /// <param name="coding">Their coding.</param>
    /// <param name="damageThere">What happens to byte number n towards the receiver: null to swallow it.</param>
    /// <param name="damageBack">Likewise from the receiver.</param>
    /// <param name="breaksAt">Number of the byte towards the receiver at which the cable is pulled.</param>
    public BadCable(
        string program, int bits, int coding, Func<long, byte, byte?>? damageThere = null, Func<long, byte, byte?>? damageBack = null, long breaksAt = long.MaxValue)
    {
        process = Process.Start(new ProcessStartInfo(program, [$"{bits}", $"{coding}", actions])
        {
            RedirectStandardInput = true,
            RedirectStandardOutput = true,
        })!;
        there = Task.Factory.StartNew(
            () =>
            {
                Relay(terminal.Master, process.StandardInput.BaseStream, damageThere, breaksAt);
                process.StandardInput.Close();
            },
            TaskCreationOptions.LongRunning);
        back = Task.Factory.StartNew(
            () => Relay(process.StandardOutput.BaseStream, terminal.Master, damageBack, long.MaxValue), TaskCreationOptions.LongRunning);
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
        return File.ReadAllLines(actions);
    }

    public void Dispose()
    {
        if (!process.HasExited)
        {
            process.Kill();
        }

        process.Dispose();
        terminal.Dispose();
        File.Delete(actions);
    }

    private void Relay(Stream from, Stream to, Func<long, byte, byte?>? damage, long breaksAt)
    {
        byte[] buffer = new byte[256];
        long position = 0;
        try
        {
            while (from.Read(buffer, 0, buffer.Length) is int count and > 0 && !isOver)
            {
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

                to.Write(buffer, 0, kept);
                to.Flush();
            }
        }
        catch (Exception fault) when (fault is IOException or ObjectDisposedException)
        {
            // The other side is gone: the cable ends.
        }
    }
}
