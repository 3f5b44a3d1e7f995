return PatternCompiler.Cli.CommandLine.Run(args);
