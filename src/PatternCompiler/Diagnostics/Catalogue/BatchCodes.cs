namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of batches.</summary>
internal static class BatchCodes
{
    /// <summary>A file pattern that matches nothing.</summary>
    public static readonly DiagnosticCode NoMatch = new(
        "PC6001",
        DiagnosticKind.InputOutput,
        "no file matches",
        "A pattern with * or ? or the name of a job file matches no file. In a batch file, patterns are relative to the batch file's folder; * stands for any part of a name, ** for any folders.");

    /// <summary>Two entries of a batch make the same file.</summary>
    public static readonly DiagnosticCode SameOutput = new(
        "PC6002",
        DiagnosticKind.Input,
        "two entries make the same file",
        "Two entries of a batch would write the same output, so that one would overwrite the other. Give them different outputs, or a 'folder' in the batch file that holds every varied value.");

    /// <summary>A varied value that a job cannot take.</summary>
    public static readonly DiagnosticCode CannotVary = new(
        "PC6003",
        DiagnosticKind.Input,
        "varied value without effect",
        "The batch file varies something that the job does not have, such as a drawing parameter that none of its sources names. It would build the same pattern several times under different names.");

    /// <summary>Too many combinations.</summary>
    public static readonly DiagnosticCode TooManyEntries = new(
        "PC6004",
        DiagnosticKind.Input,
        "too many combinations",
        "The varied values of a batch file multiply to more builds than one batch holds. Vary fewer values at once, or write several batch files.");

    /// <summary>A file that changed during the build.</summary>
    public static readonly DiagnosticCode ChangedMeanwhile = new(
        "PC6005",
        DiagnosticKind.Doubt,
        "input changed during the build",
        "A file that the build reads was changed while it ran, so that the output may hold a part of the old content. It will be built again next time.");

    /// <summary>A record of the last build that cannot be written.</summary>
    public static readonly DiagnosticCode CannotRecord = new(
        "PC6006",
        DiagnosticKind.InputOutput,
        "build cannot be recorded",
        "The outputs are made, but what they were made from cannot be noted down, so that they will be built again next time.");

    /// <summary>A file name that make or ninja cannot take from a dependency file.</summary>
    public static readonly DiagnosticCode NoDependency = new(
        "PC6060",
        DiagnosticKind.Input,
        "name cannot be in a dependency file",
        "Make and ninja read the same dependency file, and each has characters that it takes for its own syntax with no way to write them otherwise: = and % set variables and patterns, ; begins a recipe, | < > * ? [ ^ ` \\ & quotes and control characters are separators, patterns or cannot be written for both. A file of such a name would be another one for make or ninja, or run a command. Blanks, colons, dollar and number signs are escaped.");

    /// <summary>An output that is an input of another build of the batch.</summary>
    public static readonly DiagnosticCode OutputIsInput = new(
        "PC6061",
        DiagnosticKind.Input,
        "output of one build is input of another",
        "Builds of a batch run side by side. If one writes a file that another reads, the result depends on which of them comes first.");
}
