namespace PatternCompiler.Jobs.Batch;

/// <summary>How a batch runs.</summary>
/// <param name="ToolVersion">Version of the program; another version builds everything again.</param>
/// <param name="RecordsFolder">Where the records of earlier builds are kept.</param>
/// <param name="Parallel">How many entries are built at once, 1 or more.</param>
internal sealed record BatchOptions(string ToolVersion, string RecordsFolder, int Parallel)
{
    /// <summary>Build everything, whatever the records say.</summary>
    public bool RebuildAll { get; init; }

    /// <summary>Nothing may be lost in any build, whatever its job says.</summary>
    public bool IsStrict { get; init; }

    /// <summary>Usual name of the records' folder, beside the batch file.</summary>
    public const string RecordsFolderName = ".patternc";
}
