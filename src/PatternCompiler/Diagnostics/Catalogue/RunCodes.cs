namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>What a log of runs tells.</summary>
internal static class RunCodes
{
    /// <summary>The file is something else.</summary>
    public static readonly DiagnosticCode NoLog = new(
        "PC2201",
        DiagnosticKind.Input,
        "no log of runs",
        "A log of runs holds a line of JSON for every event, and lines are only ever added to it. A file that holds anything else is left "
        + "as it is. Logs of versions before this form were plain text: keep them, and begin a new one.");

    /// <summary>Records would be written twice.</summary>
    public static readonly DiagnosticCode WrittenAlready = new(
        "PC2202",
        DiagnosticKind.Input,
        "written already",
        "By the log these records of the same stream are in the resist: the receiver has said so. Written again they would have twice their "
        + "dose. A log holds what happened to one sample after the other; where the log does not speak of the sample that is under the beam, name another.");

    /// <summary>Records are skipped.</summary>
    public static readonly DiagnosticCode LeftOut = new(
        "PC2203",
        DiagnosticKind.Doubt,
        "records left out",
        "Between what the last part of the run has written and where this one begins lie records that nobody has written. That is right "
        + "where a record was cut short and is to be skipped, and for those that are written by a run that this log does not hold.");

    /// <summary>A stream that was stopped is sent from its beginning.</summary>
    public static readonly DiagnosticCode BegunAgain = new(
        "PC2204",
        DiagnosticKind.Doubt,
        "sent again from the first record",
        "The log tells that a part of this stream was written before. On another sample that is as it should be; on the same one the "
        + "records of that part get twice their dose.");

    /// <summary>The provenance file is of other bytes.</summary>
    public static readonly DiagnosticCode OtherProvenance = new(
        "PC2205",
        DiagnosticKind.Input,
        "provenance of another build",
        "The provenance file that is to go into the log lists the outputs of a build by their hashes, and the stream that is sent is none of "
        + "them: it was built at another time, or from something else. A log must not tell settings that the stream was not made with.");

    /// <summary>The log has no such run.</summary>
    public static readonly DiagnosticCode NoRun = new(
        "PC2206",
        DiagnosticKind.Input,
        "no such run",
        "Runs are named by the time at which they began and the number of the process, as 'log' lists them; the first letters are enough where only "
        + "one run begins with them, and 'last' is the one that began last.");

    /// <summary>The build gives other bytes.</summary>
    public static readonly DiagnosticCode NotTheSame = new(
        "PC2207",
        DiagnosticKind.Input,
        "other bytes than then",
        "The job was built again, and no output has the bytes that were sent. What differs is named: the version of the program, an input by its hash, a "
        + "setting. Take back what should be as it was, or install that version; if nothing differs but the bytes, it is a defect of the program.");

    /// <summary>Nothing tells which job made the stream.</summary>
    public static readonly DiagnosticCode NoJob = new(
        "PC2208",
        DiagnosticKind.Input,
        "job of the run not known",
        "The log knows the job of a stream that was sent with --provenance from where the build had put it. For others --job names it.");
}
