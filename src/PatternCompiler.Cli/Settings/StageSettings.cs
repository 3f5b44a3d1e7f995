using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Cli.Settings;

/// <summary>Everything that the stages of one run are set by.</summary>
/// <param name="Job">Job file, or the built-in settings.</param>
/// <param name="Machine">Machine file, or the built-in one.</param>
/// <param name="Process">Process file, or the built-in one.</param>
internal sealed record StageSettings(Job Job, Machine Machine, Resist Process);
