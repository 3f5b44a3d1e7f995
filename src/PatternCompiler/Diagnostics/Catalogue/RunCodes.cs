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

    /// <summary>A group of a run names a layer that nothing is written on.</summary>
    public static readonly DiagnosticCode NoSuchLayer = new(
        "PC2210",
        DiagnosticKind.Input,
        "group of a layer that is not written",
        "The groups of a run divide what is written by layers. A layer on which nothing is written is misspelled, or left out by 'write'.");

    /// <summary>A copy that lies beyond all coordinates.</summary>
    public static readonly DiagnosticCode CopyTooFar = new(
        "PC2211",
        DiagnosticKind.Input,
        "copy too far away",
        "Copies of a pattern lie in the same field. One that lies beyond all coordinates has another unit than was meant.");

    /// <summary>The current has changed more than the job allows.</summary>
    public static readonly DiagnosticCode CurrentBeyondLimits = new(
        "PC2212",
        DiagnosticKind.InputOutput,
        "current beyond its limits",
        "Dwells follow the current that was read, within the part that 'run.current_within' states. Beyond it something else has changed: aperture, focus of the gun, the meter. The beam is off.");

    /// <summary>Nobody is there to answer.</summary>
    public static readonly DiagnosticCode NoAnswer = new(
        "PC2213",
        DiagnosticKind.InputOutput,
        "question without an answer",
        "A run asks before the beam is on and at each hold. Answers come from a terminal or from a file of answers; where there is neither, the run ends here with the beam off. It can be resumed.");

    /// <summary>The operator has said no.</summary>
    public static readonly DiagnosticCode AnsweredNo = new(
        "PC2214",
        DiagnosticKind.InputOutput,
        "the operator says no",
        "A line of the checklist or of a hold was answered with no: the run ends here with the beam off. Put right what it asks for, and resume the run.");

    /// <summary>The blanked beam still brings a current.</summary>
    public static readonly DiagnosticCode NotBlanked = new(
        "PC2215",
        DiagnosticKind.InputOutput,
        "the beam is not off",
        "With the beam blanked almost no current may reach the sample: the leak of the machine file and a hundredth of the beam. More means a wrong polarity, a loose wire, a blanker without voltage, or a leak that the machine file does not tell.");

    /// <summary>The file of answers cannot be used.</summary>
    public static readonly DiagnosticCode WrongAnswer = new(
        "PC2216",
        DiagnosticKind.Input,
        "answer that fits no question",
        "A file of answers holds a line for each question, 'step/question: answer', or 'any/question: answer' for any step. 'run --dry-run' prints all of them.");

    /// <summary>A run that cannot be resumed.</summary>
    public static readonly DiagnosticCode CannotResume = new(
        "PC2217",
        DiagnosticKind.Input,
        "run cannot be resumed so",
        "A run is resumed with the pattern that it was begun with, from the step in which it ended. Of a step that did not end by a stop it is not known whether its next record is in the resist: look at its last message, and state the record to go on with.");

    /// <summary>A copy whose doses are beyond what a figure can ask for.</summary>
    public static readonly DiagnosticCode DoseTooHigh = new(
        "PC2218",
        DiagnosticKind.Input,
        "dose of a copy too high",
        "A copy multiplies the dose factors of its figures, and those end at 2,000. A series that goes so far has the wrong base dose.");

    /// <summary>The current has changed since a stream was made.</summary>
    public static readonly DiagnosticCode CurrentChanged = new(
        "PC2219",
        DiagnosticKind.Doubt,
        "current has changed since the stream was made",
        "A step that was begun goes on with the stream that was made for it: the same bytes, so that nothing is written twice or left out. Its dwells are those for the current of then. "
        + "Steps that follow are made for the current as it was read now.");
}
