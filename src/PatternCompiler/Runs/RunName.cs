using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Runs;

/// <summary>Finds the run that a user means.</summary>
internal static class RunName
{
    private const string LastWord = "last";

    /// <summary>The run with a name, with a name that begins so, or the one that began last.</summary>
    /// <param name="word">What the user wrote.</param>
    /// <param name="runs">Runs in the order in which they began.</param>
    /// <param name="log">Name of the log for messages.</param>
    /// <exception cref="CompileException">There is none, or more than one.</exception>
    public static LoggedRun Find(string word, IReadOnlyList<LoggedRun> runs, string log)
    {
        LoggedRun[] found = word == LastWord
            ? [.. runs.TakeLast(1)]
            : [.. runs.Where(run => run.First.Run.StartsWith(word, StringComparison.Ordinal) && word.Length > 0)];
        return found.FirstOrDefault(run => run.First.Run == word) ?? (found.Length == 1
            ? found[0]
            : throw new CompileException(
                RunCodes.NoRun,
                found.Length == 0 ? $"no run of {CountText.Of(runs.Count, "run", "runs")} is named '{word}'" : $"{found.Length} runs have names that begin with '{word}'",
                new SourcePlace(log),
                found.Length == 0 ? "'patternc log' lists them" : "write more of the name"));
    }
}
