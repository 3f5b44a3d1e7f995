using System.Runtime.InteropServices;

namespace PatternCompiler.Cli.Terminal;

/// <summary>
/// Ctrl-C, a termination signal or a lost terminal: asks the running command to stop. A command that cannot listen in
/// time (blocked on a pipe, deep in a loop) is ended from here, after its unfinished files are removed.
/// </summary>
internal sealed class Interruption : IDisposable
{
    private readonly CancellationTokenSource source = new();
    private readonly TimeSpan grace;
    private readonly Action abandon;
    private readonly PosixSignalRegistration[] registrations;
    private readonly ManualResetEventSlim isOver = new();

    /// <summary>Starts listening.</summary>
    /// <param name="grace">How long the command may take to stop by itself.</param>
    /// <param name="abandon">Cleans up and ends the process; called when the command did not stop by itself.</param>
    public Interruption(TimeSpan grace, Action abandon)
    {
        this.grace = grace;
        this.abandon = abandon;
        registrations =
        [
            PosixSignalRegistration.Create(PosixSignal.SIGINT, Handle),
            PosixSignalRegistration.Create(PosixSignal.SIGTERM, Handle),
            PosixSignalRegistration.Create(PosixSignal.SIGHUP, Handle),
        ];
    }

    /// <summary>Fires at the first signal.</summary>
    public CancellationToken Token => source.Token;

    public void Dispose()
    {
        foreach (PosixSignalRegistration registration in registrations)
        {
            registration.Dispose();
        }

        isOver.Set();
        source.Dispose();
    }

    private void Handle(PosixSignalContext context)
    {
        context.Cancel = true;
        if (source.IsCancellationRequested)
        {
            // The second signal means "now".
            abandon();
            return;
        }

        // A thread of its own: those of the pool may all be at work on what is to be stopped.
        var deadline = new Thread(() =>
        {
            if (!isOver.Wait(grace))
            {
                abandon();
            }
        });
        deadline.IsBackground = true;
        deadline.Start();
        source.Cancel();
    }
}
