namespace PatternCompiler.Cli.Comparing;

/// <summary>What became of one file between two folders.</summary>
internal enum FileOutcome
{
    /// <summary>It counts as the same.</summary>
    Same,

    /// <summary>It differs by more than is allowed.</summary>
    Different,

    /// <summary>Only the first folder has it.</summary>
    Missing,

    /// <summary>Only the second folder has it.</summary>
    New,

    /// <summary>The two cannot be compared; a message says why.</summary>
    Unreadable,
}
