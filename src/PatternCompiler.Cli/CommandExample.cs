namespace PatternCompiler.Cli;

/// <summary>One line of a command's Examples section.</summary>
/// <param name="Line">The command line as typed into a shell.</param>
/// <param name="Meaning">What it does, one phrase.</param>
internal readonly record struct CommandExample(string Line, string Meaning);
