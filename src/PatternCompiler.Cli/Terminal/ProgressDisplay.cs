using PatternCompiler.Diagnostics;
using Spectre.Console;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// A bar on standard error that shows how much of the input is read. Only on a terminal, only when the run takes long
/// enough to wonder, and gone when it ends.
/// </summary>
internal sealed class ProgressDisplay : IDisposable
{
    private static readonly TimeSpan Patience = TimeSpan.FromMilliseconds(700);
    private static readonly TimeSpan Refresh = TimeSpan.FromMilliseconds(100);

    private const int LongestLabel = 60;

    private readonly ManualResetEventSlim ended = new();
    private readonly Lock gate = new();
    private readonly bool isShown;
    private readonly List<ProgressItem> items = [];
    private Thread? painter;
    private bool isOver;
    private volatile IAnsiConsole? console;

    /// <summary>Prepares the display.</summary>
    /// <param name="isShown">False keeps it silent for good.</param>
    public ProgressDisplay(bool isShown)
    {
        this.isShown = isShown;
    }

    /// <summary>Adds a bar for something of a known size.</summary>
    public ProgressItem Add(string label, long total)
    {
        var item = new ProgressItem(label, total);
        if (isShown && total > 0)
        {
            lock (gate)
            {
                items.Add(item);
                if (painter is null)
                {
                    painter = new Thread(Paint) { IsBackground = true, Name = "progress" };
                    painter.Start();
                }
            }
        }

        return item;
    }

    /// <summary>Prints a line above the bars; false if there are none, and the caller prints it.</summary>
    public bool TryWriteLine(string line)
    {
        if (console is not { } shown)
        {
            return false;
        }

        shown.Write(new ControlCode(line + "\n"));
        return true;
    }

    /// <summary>Removes the bars, so that a question has its line; those that are added later are shown again.</summary>
    public void Clear()
    {
        if (isOver)
        {
            return;
        }

        ended.Set();
        painter?.Join();
        lock (gate)
        {
            items.Clear();
            painter = null;
        }

        ended.Reset();
    }

    /// <summary>Removes the bars.</summary>
    public void Dispose()
    {
        Clear();
        isOver = true;
        ended.Dispose();
    }

    private void Paint()
    {
        if (ended.Wait(Patience))
        {
            return;
        }

        IAnsiConsole target = AnsiConsole.Create(new AnsiConsoleSettings { Out = new AnsiConsoleOutput(Console.Error) });
        target.Progress()
            .AutoClear(true)
            .Columns(new TaskDescriptionColumn(), new ProgressBarColumn(), new PercentageColumn(), new RemainingTimeColumn())
            .Start(PaintUntilEnded);
        console = null;

        void PaintUntilEnded(ProgressContext context)
        {
            console = target;
            var bars = new List<(ProgressItem Item, ProgressTask Bar)>();
            do
            {
                lock (gate)
                {
                    foreach (ProgressItem item in items.Skip(bars.Count))
                    {
                        bars.Add((item, context.AddTask(Markup.Escape(PrintedText.Of(item.Label, LongestLabel)), maxValue: item.Total)));
                    }
                }

                foreach ((ProgressItem item, ProgressTask bar) in bars)
                {
                    bar.Value = item.Done;
                }
            }
            while (!ended.Wait(Refresh));
        }
    }
}

/// <summary>Something whose progress is shown.</summary>
/// <param name="label">What it is.</param>
/// <param name="total">Its size, in any unit.</param>
internal sealed class ProgressItem(string label, long total)
{
    private long done;

    /// <summary>What it is.</summary>
    public string Label => label;

    /// <summary>Its size.</summary>
    public long Total => total;

    /// <summary>How much of it is done.</summary>
    public long Done => Interlocked.Read(ref done);

    /// <summary>Counts some more as done.</summary>
    public void Advance(long amount) => Interlocked.Add(ref done, amount);
}
