namespace PatternCompiler.Jobs.Batch;

/// <summary>What became of an entry.</summary>
internal enum EntryOutcome
{
    /// <summary>Nothing had changed since the last build.</summary>
    UpToDate,

    /// <summary>It was built.</summary>
    Built,

    /// <summary>It could not be built.</summary>
    Failed,
}
