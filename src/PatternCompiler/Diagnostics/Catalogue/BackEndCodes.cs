namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of the back ends and of the readers of what they write.</summary>
internal static class BackEndCodes
{
    /// <summary>The input does not start like the wanted form.</summary>
    public static readonly DiagnosticCode NotThisForm = new(
        "PC2001",
        DiagnosticKind.Input,
        "not the expected form",
        "The first bytes are not those of the form that was asked for: another document, another file, or a stream that " +
        "lost its beginning. Nothing was decoded.");

    /// <summary>A version that this program does not know.</summary>
    public static readonly DiagnosticCode UnsupportedVersion = new(
        "PC2002",
        DiagnosticKind.Input,
        "unknown version of the stream",
        "The stream's major version is not the one that this program reads. A receiver has to refuse such a stream too, " +
        "since its records may mean something else.");

    /// <summary>The header is damaged or contradicts itself.</summary>
    public static readonly DiagnosticCode BadHeader = new(
        "PC2003",
        DiagnosticKind.Input,
        "damaged stream header",
        "The header's length, checksum, digest or content is wrong, so nothing after it can be trusted. A receiver " +
        "keeps the beam off and refuses the stream.");

    /// <summary>A block's frame or checksum is wrong.</summary>
    public static readonly DiagnosticCode BadBlock = new(
        "PC2004",
        DiagnosticKind.Input,
        "damaged block",
        "A block's type, length or checksum is wrong: bytes were changed, lost or inserted. None of its records is used, " +
        "and nothing after it. A receiver blanks the beam and stops here.");

    /// <summary>A block is missing or comes twice.</summary>
    public static readonly DiagnosticCode SequenceGap = new(
        "PC2005",
        DiagnosticKind.Input,
        "gap in the sequence of blocks",
        "The blocks carry consecutive numbers, and this one has another: blocks were lost, doubled or joined from two " +
        "streams. Writing on would leave a hole or expose an area twice.");

    /// <summary>The data stop before their end.</summary>
    public static readonly DiagnosticCode Truncated = new(
        "PC2006",
        DiagnosticKind.Input,
        "cut short",
        "The data end before their end mark, so a part of the pattern is missing. A receiver keeps the beam off after " +
        "the last whole block and reports the fault.");

    /// <summary>A record that makes no sense.</summary>
    public static readonly DiagnosticCode BadRecord = new(
        "PC2007",
        DiagnosticKind.Input,
        "malformed record",
        "A record can be framed correctly and still make no sense: an unknown kind, a code beyond the converter's bits, a " +
        "line in a stream without lines. It comes from a faulty writer, and a receiver stops here as for a bad checksum.");

    /// <summary>The totals of the end differ from what was read.</summary>
    public static readonly DiagnosticCode TotalsDiffer = new(
        "PC2008",
        DiagnosticKind.Input,
        "totals do not match",
        "The end of the stream states how many records, points and ticks it holds, and something else was read.");

    /// <summary>Something follows the end.</summary>
    public static readonly DiagnosticCode AfterEnd = new(
        "PC2009",
        DiagnosticKind.Input,
        "content after the end",
        "More bytes follow the end of the stream: two streams were joined, or one was written over a longer one.");

    /// <summary>A motion controller that keeps coarse dwells alone.</summary>
    public static readonly DiagnosticCode DwellsRounded = new(
        "PC2043",
        DiagnosticKind.Doubt,
        "dwells were rounded",
        "The machine file says which dwells the motion controller keeps ('motion.dwell_step'). Exposing dwells are rounded to the nearest of them, and doses " +
        "change by the same part. What remains of the errors in a figure of many points is their mean.");

    /// <summary>A sound file, whose player must hold levels.</summary>
    public static readonly DiagnosticCode NeedsDirectCoupling = new(
        "PC2044",
        DiagnosticKind.Remark,
        "outputs of a player have to be DC coupled",
        "Codes are levels that last. Most players of sound have capacitors in their outputs, behind which every level falls back to 0 V, within a fraction of " +
        "a second, and the pattern creeps to the middle of the field. Use a player whose outputs are DC coupled, and check it with a hold at the lowest code.");

    /// <summary>Records that the wanted form cannot hold.</summary>
    public static readonly DiagnosticCode NotRepresentable = new(
        "PC2010",
        DiagnosticKind.Input,
        "does not fit the output's form",
        "A value is larger than the form's field for it. It is refused rather than cut, since a cut dwell is a wrong dose " +
        "and a cut code is a wrong place.");

    /// <summary>A word layout that cannot carry the machine's codes.</summary>
    public static readonly DiagnosticCode BadWordLayout = new(
        "PC2011",
        DiagnosticKind.Input,
        "word layout does not fit the machine",
        "The layout of bare words has to give every point x and y with at least the converter's bits, each at most once, " +
        "and fields that fill whole words.");

    /// <summary>Unreadable text in a back end's output.</summary>
    public static readonly DiagnosticCode Malformed = new(
        "PC2012",
        DiagnosticKind.Input,
        "malformed line",
        "A line of a table of voltages or of a motion program is not one that this program writes. The message names the " +
        "column and what belongs there.");

    /// <summary>A value that is not one that the machine can put out.</summary>
    public static readonly DiagnosticCode NotOfThisMachine = new(
        "PC2013",
        DiagnosticKind.Input,
        "not made for this machine",
        "A voltage, position or time does not fall on a code or a tick of the machine that was named, so the data were " +
        "made for another machine. Decoding them to the nearest code would hide that.");

    /// <summary>The receiver cannot be reached any more.</summary>
    public static readonly DiagnosticCode LinkLost = new(
        "PC2020",
        DiagnosticKind.InputOutput,
        "receiver lost",
        "No message comes from the receiver: nothing answers, the cable is out, or it takes no more bytes. What it wrote " +
        "after its last message is not known, so nothing is sent again by itself. A receiver blanks the beam when its " +
        "link is gone; make sure of it.");

    /// <summary>The receiver ended the exposure.</summary>
    public static readonly DiagnosticCode ReceiverFault = new(
        "PC2021",
        DiagnosticKind.InputOutput,
        "exposure not finished",
        "The receiver reports a fault that sending again would not fix, or too many of those that it would. The beam is " +
        "off, and the message says how many records are written completely, so that the rest can be sent once the cause " +
        "is gone.");

    /// <summary>A record is half written.</summary>
    public static readonly DiagnosticCode RecordCutShort = new(
        "PC2022",
        DiagnosticKind.InputOutput,
        "record cut short",
        "The receiver stopped within a record: part of its dose is in the resist. Writing it again would give more dose than " +
        "wanted, leaving it out less. That is for a person to decide, so sending does not go on by itself.");

    /// <summary>Sending cannot start in the middle.</summary>
    public static readonly DiagnosticCode CannotResume = new(
        "PC2023",
        DiagnosticKind.Input,
        "cannot send from there",
        "To send from a record on, the stream has to be a file that can be read twice and that has this record.");

    /// <summary>An output that holds the blank line, of records that do not say which level turns the beam off.</summary>
    public static readonly DiagnosticCode UnknownBlankLevel = new(
        "PC2040",
        DiagnosticKind.Input,
        "level of the blank line is not known",
        "The output holds the blank line, and neither the records nor a machine file say whether it is high or low with the " +
        "beam off. The wrong level would expose everything that should be blanked. Records say it unless they come from an " +
        "older version of the program or from a stream of version 1.0.");

    /// <summary>Records or an output for the other level.</summary>
    public static readonly DiagnosticCode OtherBlankLevel = new(
        "PC2041",
        DiagnosticKind.Input,
        "made for the other level of the blank line",
        "The machine that was named turns the beam off with another level of its blank line than the one that the data " +
        "were made for. On that machine the beam would be on where it should be off.");

    /// <summary>An output whose last point exposes.</summary>
    public static readonly DiagnosticCode EndsExposing = new(
        "PC2042",
        DiagnosticKind.Input,
        "beam on at the end",
        "Whatever plays the data may hold their last point, so every output ends with the beam off, and this one does not: " +
        "it was cut short, or it was made for a blanker of the other level.");

    /// <summary>An output that cannot wait for a trigger.</summary>
    public static readonly DiagnosticCode CannotWait = new(
        "PC2060",
        DiagnosticKind.Input,
        "output cannot wait for a trigger",
        "The records wait for the trigger input, and the output states every time in advance. Left out, the waits would be missing without "
        + "a word and everything would meet another phase of the mains. An exposure stream tells the receiver to wait; documents of records keep the waits.");

    /// <summary>The receiver's word cannot be true.</summary>
    public static readonly DiagnosticCode ReceiverInDoubt = new(
        "PC2050",
        DiagnosticKind.InputOutput,
        "receiver's word in doubt",
        "The receiver contradicts itself or what it was sent: it was reset and knows nothing of the exposure any more, takes " +
        "back progress, claims records that it was not sent, or says that it is done before the end. What it wrote after its " +
        "last sound word is not known, so nothing is sent again by itself: a record written twice has twice its dose. The " +
        "message names the records that are written and those of which nothing is known; the sample tells.");
}
