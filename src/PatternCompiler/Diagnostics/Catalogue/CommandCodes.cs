namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of the command line, of files and of streams: PC00xx.</summary>
internal static class CommandCodes
{
    /// <summary>The command line cannot be understood.</summary>
    public static readonly DiagnosticCode WrongUsage = new(
        "PC0001",
        DiagnosticKind.Usage,
        "wrong command line",
        "An option or argument is unknown, missing, given twice or has a value that it cannot take. Nothing was read or written. 'patternc COMMAND --help' lists what the command takes, with examples.");

    /// <summary>A named input does not exist.</summary>
    public static readonly DiagnosticCode FileNotFound = new(
        "PC0002",
        DiagnosticKind.InputOutput,
        "no such file",
        "A file that the command line or a job file names does not exist. Names in a job file are relative to the folder of that job file; names on the command line are relative to the current folder.");

    /// <summary>An input exists but cannot be read.</summary>
    public static readonly DiagnosticCode CannotRead = new(
        "PC0003",
        DiagnosticKind.InputOutput,
        "cannot read",
        "The operating system refuses to read the input: it is a folder, its permissions forbid it, or the device reports a fault.");

    /// <summary>An output cannot be written.</summary>
    public static readonly DiagnosticCode CannotWrite = new(
        "PC0004",
        DiagnosticKind.InputOutput,
        "cannot write",
        "The operating system refuses to write the output. Outputs are written beside their final name and renamed when complete, so the folder itself must be writable; a file that was there before is untouched.");

    /// <summary>The device is full.</summary>
    public static readonly DiagnosticCode NoSpace = new(
        "PC0005",
        DiagnosticKind.InputOutput,
        "no space left",
        "The disk is full. The unfinished output was removed; a file that was there before is untouched. 'patternc estimate' tells the size of an output before it is made.");

    /// <summary>Binary data was about to go to a terminal.</summary>
    public static readonly DiagnosticCode BinaryToTerminal = new(
        "PC0006",
        DiagnosticKind.Usage,
        "binary output to a terminal",
        "The output of this command is binary; on a terminal it would show as noise and may change the terminal's settings. Name a file with -o or send the output into a pipe.");

    /// <summary>No input is named and none is piped in.</summary>
    public static readonly DiagnosticCode NoInput = new(
        "PC0007",
        DiagnosticKind.Usage,
        "no input",
        "Without a file name a command reads standard input; here that is the keyboard, and nobody types a drawing. Name a file or pipe the output of the stage before.");

    /// <summary>The input holds nothing.</summary>
    public static readonly DiagnosticCode EmptyInput = new(
        "PC0008",
        DiagnosticKind.Input,
        "empty input",
        "The input has no bytes. In a pipe the usual reason is that the stage before failed: its message stands above.");

    /// <summary>The input's first bytes match no known format.</summary>
    public static readonly DiagnosticCode UnknownFormat = new(
        "PC0009",
        DiagnosticKind.Input,
        "unknown format",
        "Every format is recognised by its first bytes, not by the file's name. These match no drawing and no document that the command takes.");

    /// <summary>The input needs more memory than there is.</summary>
    public static readonly DiagnosticCode OutOfMemory = new(
        "PC0011",
        DiagnosticKind.Input,
        "out of memory",
        "The drawing's geometry is held in memory while it is merged and fractured; everything after that streams. Split the drawing by layer or by write field, or run on a machine with more memory.");

    /// <summary>A file would be overwritten that the user may want to keep.</summary>
    public static readonly DiagnosticCode FileExists = new(
        "PC0012",
        DiagnosticKind.InputOutput,
        "file exists",
        "Settings files are written by hand and hard to replace, so the command does not overwrite them unless --force says so.");

    /// <summary>No machine or process file is given.</summary>
    public static readonly DiagnosticCode BuiltInSettings = new(
        "PC0013",
        DiagnosticKind.Remark,
        "built-in settings are used",
        "No machine or process file is named, so the built-in one is used: typical values, good for a first look and not for an exposure. 'patternc init' writes them as files in which every value is explained.");

    /// <summary>A prediction is worse than the user allows.</summary>
    public static readonly DiagnosticCode LimitExceeded = new(
        "PC0014",
        DiagnosticKind.Violation,
        "limit exceeded",
        "The command was asked to compare a prediction with a limit, and it is worse. The outputs were written, so that they can be looked at.");

    /// <summary>The process has no energy spread.</summary>
    public static readonly DiagnosticCode NoSpread = new(
        "PC0015",
        DiagnosticKind.Input,
        "no energy spread",
        "A prediction needs to know how energy spreads in the resist: the radii and the ratio of the Gaussians in the process file. Typical values are in the built-in process file; 'patternc fit spread' finds yours from a test.");

    /// <summary>The ending of an output's name means another content.</summary>
    public static readonly DiagnosticCode WrongEnding = new(
        "PC0060",
        DiagnosticKind.Usage,
        "ending of an output's name",
        "Where the ending of a name chooses what is written, it must be one that a writer knows; where the content is fixed or chosen by --format, the name may end in anything but the ending of something else. A picture named .html, or a table of voltages named .wav, would mislead whoever opens it next. Nothing was read or written.");

    /// <summary>A native library is not beside the program.</summary>
    public static readonly DiagnosticCode MissingLibrary = new(
        "PC0061",
        DiagnosticKind.InputOutput,
        "library missing",
        "Pictures are encoded by one library and serial ports opened by another, which are files of their own beside the program. The program was copied without them, or they are for another processor. Whatever needs neither works all the same.");

    /// <summary>The operating system grants less than the program needs.</summary>
    public static readonly DiagnosticCode Refused = new(
        "PC0062",
        DiagnosticKind.InputOutput,
        "refused by the operating system",
        "A limit of this process (see 'ulimit -a') leaves less than the program needs to run at all: open files, threads or memory. No output was left.");

    /// <summary>An output would destroy an input or another output.</summary>
    public static readonly DiagnosticCode OutputClash = new(
        "PC0063",
        DiagnosticKind.Usage,
        "output in place of another file",
        "Two outputs of one run have the same name, or an output has the name of an input: the one would destroy the other. Names are the same also when they are written in different ways, lead through links, or differ in capitals only where the file system does not tell them apart. Nothing was written.");

    /// <summary>A word that has a new one.</summary>
    public static readonly DiagnosticCode OldWord = new(
        "PC0064",
        DiagnosticKind.Remark,
        "old word",
        "A command, option or choice has a new word, which the message names. The old one means the same in this version and will be unknown in the next: change scripts and job files now.");

    /// <summary>Places of other outputs.</summary>
    public static readonly DiagnosticCode OtherPlaces = new(
        "PC0070",
        DiagnosticKind.Usage,
        "places of another build",
        "A file of places says what was drawn where, for the outputs of one build, whose hashes it holds. The document at hand is none of them: "
        + "it was made by another build, or was changed since, and its figures may lie elsewhere. Build again with --places, and give the file "
        + "that this build writes.");

    /// <summary>Not a file of places.</summary>
    public static readonly DiagnosticCode NotPlaces = new(
        "PC0071",
        DiagnosticKind.Input,
        "not a file of places",
        "What --places names is not a file that 'patternc build --places' has written, or it is damaged.");

    /// <summary>Places for a pipe.</summary>
    public static readonly DiagnosticCode PlacesOfPipe = new(
        "PC0072",
        DiagnosticKind.Usage,
        "places for a pipe",
        "A file of places belongs to outputs with certain hashes, and the document is hashed before it is read, so that no message names a "
        + "wrong place. What comes from a pipe cannot be read twice: write it to a file and name that.");

    /// <summary>An unexpected exception.</summary>
    public static readonly DiagnosticCode Defect = new(
        "PC0099",
        DiagnosticKind.Defect,
        "defect in the program",
        "Something happened that the program's authors did not foresee. No output was left. Please report it with the command line and, if you may share it, the input.");

    /// <summary>Something is lost although nothing may be.</summary>
    public static readonly DiagnosticCode Lost = new(
        "PC0085",
        DiagnosticKind.Violation,
        "something would be lost",
        "The command was told to be strict, with --strict or by 'strict: yes' in the job, and warnings above say that the sample would not "
        + "get what was drawn: part of the drawing is not exposed, or a line prints that nobody drew. No output is left. Fix what the "
        + "warnings name, leave it out on purpose (choose layers, switch a layer off), or run without strictness.");
}
