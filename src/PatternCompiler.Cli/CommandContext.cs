using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Compilation;

namespace PatternCompiler.Cli;

/// <summary>What a running command has to work with besides its own arguments.</summary>
/// <param name="Messages">Where it speaks to the person.</param>
/// <param name="Progress">Where it shows how far it is.</param>
/// <param name="Outputs">Opens outputs; what is not committed disappears.</param>
/// <param name="Cancellation">Fires at Ctrl-C or a termination signal.</param>
internal sealed record CommandContext(Messages Messages, ProgressDisplay Progress, OutputFiles Outputs, CancellationToken Cancellation)
{
    private readonly List<Diagnostic> postponed = [];

    /// <summary>Takes the library's notes and warnings and prints them at once.</summary>
    public DiagnosticSink Sink { get; } = new(Messages.Report);

    /// <summary>Nothing may be lost: the command line or the job says so.</summary>
    public bool IsStrict { get; set; }

    /// <summary>Ends a strict run in which something was lost.</summary>
    /// <exception cref="CompileException">It was.</exception>
    public void RequireNothingLost()
    {
        if (IsStrict)
        {
            LossCheck.Run(Sink);
        }
    }

    /// <summary>Opens an input and shows how much of it is read.</summary>
    public InputStream Open(string name) => InputFile.Open(name, Progress);

    /// <summary>The stages under these settings, for a command that runs one of them.</summary>
    public Pipeline Stages(BuildSettings settings) => new(settings, new BuildFiles(this), Sink, Cancellation);

    /// <summary>Keeps a note until the command has succeeded: beside an error it would only distract.</summary>
    public void Postpone(Diagnostic note) => postponed.Add(note);

    /// <summary>Prints what was kept.</summary>
    public void ReportPostponed()
    {
        foreach (Diagnostic note in postponed)
        {
            Messages.Report(note);
        }
    }
}
