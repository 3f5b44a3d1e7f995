namespace PatternCompiler.Cli.Terminal;

/// <summary>The reader of standard output has gone (<c>patternc … | head</c>): the run stops without a word.</summary>
internal sealed class OutputClosedException : Exception
{
}
