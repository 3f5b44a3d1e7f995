using PatternCompiler.Cli;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Cli.Terminal;

StandardDescriptors.Settle();
return CommandLine.Run(CommandWords.Restore(args));
