using PatternCompiler.Cli.Files;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Cli;

/// <summary>What a running command has to work with besides its own arguments.</summary>
/// <param name="Messages">Where it speaks to the person.</param>
/// <param name="Outputs">Opens outputs; what is not committed disappears.</param>
/// <param name="Cancellation">Fires at Ctrl-C or a termination signal.</param>
internal sealed record CommandContext(Messages Messages, OutputFiles Outputs, CancellationToken Cancellation)
{
    /// <summary>Takes the library's notes and warnings and prints them at once.</summary>
    public DiagnosticSink Sink { get; } = new(Messages.Report);
}
