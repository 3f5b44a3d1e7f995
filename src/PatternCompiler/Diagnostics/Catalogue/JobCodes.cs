namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of YAML, machine, process and job files.</summary>
internal static class JobCodes
{
    /// <summary>The text is no YAML, or uses a part of YAML that these files do without.</summary>
    public static readonly DiagnosticCode YamlSyntax = new(
        "PC0110",
        DiagnosticKind.Input,
        "YAML cannot be read",
        "The file is not the YAML it should be: one document made of keys, lists and plain values, indented with spaces. Tags, several documents in one file, references to themselves and very large files are refused.");

    /// <summary>A key that means nothing here.</summary>
    public static readonly DiagnosticCode UnknownKey = new(
        "PC0111",
        DiagnosticKind.Input,
        "unknown key",
        "A key that the program does not know is an error, because a mistyped setting would otherwise be ignored in silence and the pattern written with a default instead.");

    /// <summary>A key twice in one mapping.</summary>
    public static readonly DiagnosticCode DuplicateKey = new(
        "PC0112",
        DiagnosticKind.Input,
        "key given twice",
        "The same key stands twice in one mapping, so that it is open which value counts. Keep one of them.");

    /// <summary>A key that must be there is not.</summary>
    public static readonly DiagnosticCode MissingKey = new(
        "PC0113",
        DiagnosticKind.Input,
        "key missing",
        "A setting without a sensible default is missing. Add the key with its value.");

    /// <summary>A list where a value belongs, a word where a number belongs.</summary>
    public static readonly DiagnosticCode WrongType = new(
        "PC0114",
        DiagnosticKind.Input,
        "wrong kind of value",
        "The value has another form than its key needs: a mapping, a list, a number, yes or no, or one of a few words.");

    /// <summary>A value outside its range, or two that contradict each other.</summary>
    public static readonly DiagnosticCode ValueOutOfRange = new(
        "PC0115",
        DiagnosticKind.Input,
        "value out of range",
        "The value has the right form but no machine, process or job can have it, or it contradicts another value of the file.");

    /// <summary>A process file of an earlier version.</summary>
    public static readonly DiagnosticCode FormerResistKeys = new(
        "PC0171",
        DiagnosticKind.Input,
        "process file of an earlier version",
        "A process file has one section 'resist' with tone, onset (or contrast), clearing dose and thickness: prints, stray lines, process window, correction and reports all follow from it. "
        + "Earlier versions read 'tone', 'dose.onset' and 'contrast' with an onset of its own, and took half of the base dose for the dose that prints, whatever the file said. "
        + "Write the dose that just clears a large area as 'clearing'; 'patternc fit contrast' finds it. Edges of large areas receive half of 'dose.area', so that they print where they are drawn if it is twice the clearing dose.");

    /// <summary>A layer that no source has.</summary>
    public static readonly DiagnosticCode UnknownLayer = new(
        "PC0120",
        DiagnosticKind.Input,
        "layer not found",
        "The job names a layer that its drawings do not have. Layer names are compared letter for letter.");

    /// <summary>A job without a drawing.</summary>
    public static readonly DiagnosticCode NoSource = new(
        "PC0121",
        DiagnosticKind.Input,
        "job without a drawing",
        "The job lists no drawing under 'sources', so that there is nothing to build.");

    /// <summary>An operation that cannot be read or has no meaning.</summary>
    public static readonly DiagnosticCode BadExpression = new(
        "PC0123",
        DiagnosticKind.Input,
        "operation not understood",
        "An operation describes an area in words: layers combined by 'with' (both together), 'without' (the first less the second), 'inside' (where both are) and 'xor' (where exactly one is), from left to right, with brackets to group; 'rectangle (x, y) (x, y)' is a fixed area and 'frame 5 um around pads' the box around a layer; 'grown by 10 nm' or 'shrunk by 10 nm' after an area moves its edges. Names that hold blanks or are one of these words stand in double quotes.");

    /// <summary>Two outputs of one job with the same path, or an output over an input.</summary>
    public static readonly DiagnosticCode OutputClash = new(
        "PC0122",
        DiagnosticKind.Input,
        "output overwrites a file of the job",
        "Two outputs of a job have the same path, or an output has the path of a file that the job reads.");

    /// <summary>A placed layout beside other drawings.</summary>
    public static readonly DiagnosticCode PlacedAmongOthers = new(
        "PC0190",
        DiagnosticKind.Input,
        "placed layout among other drawings",
        "A text layout with the line 'placed' holds a job's operations, bias and place in the field already. Together with drawings for which they are still to be done there is no order that does them once.");

    /// <summary>A net's point where nothing is drawn.</summary>
    public static readonly DiagnosticCode NetOnBareArea = new(
        "PC0175",
        DiagnosticKind.Input,
        "net's point outside every area",
        "A net is named by points that lie on its drawn areas, in the coordinates in which the pattern stands in the field. The message names the nearest area.");

    /// <summary>A net that is drawn in parts.</summary>
    public static readonly DiagnosticCode NetDrawnOpen = new(
        "PC0176",
        DiagnosticKind.Input,
        "net drawn in parts",
        "All points of a net must lie on areas that hang together: that overlap or share an edge, on whatever layers that are written. Areas that touch in a point alone do not.");

    /// <summary>Two nets that are drawn as one.</summary>
    public static readonly DiagnosticCode NetsDrawnJoined = new(
        "PC0177",
        DiagnosticKind.Input,
        "nets drawn as one",
        "Nets must stay apart from each other, and two of them are drawn on areas that hang together.");

    /// <summary>The ending of an output's name means another content.</summary>
    public static readonly DiagnosticCode WrongEnding = new(
        "PC0160",
        DiagnosticKind.Input,
        "ending of an output's name",
        "The name of an output ends as the name of something else does: a stream named .wav, or figures named .png, would mislead whoever opens it next. The format of an output is what 'format' says; its name may end in anything that means nothing else.");

    /// <summary>A settings file that cannot be read.</summary>
    public static readonly DiagnosticCode CannotRead = new(
        "PC0130",
        DiagnosticKind.InputOutput,
        "settings file cannot be read",
        "A machine, process or job file is missing, is a folder or may not be read. Paths in a job file are relative to the job file's folder.");

    /// <summary>A key that states the level of the blank line beside 'blanker.active'.</summary>
    public static readonly DiagnosticCode SecondBlankLevel = new(
        "PC0140",
        DiagnosticKind.Input,
        "level of the blank line stated twice",
        "Which level of the blank line turns the beam off is a property of the blanker, stated once as 'blanker.active' in the machine file, and the same in every output. Two keys could contradict each other, and then one of the outputs would expose what it should blank.");

    /// <summary>A calibration whose keys are wanted → commanded.</summary>
    public static readonly DiagnosticCode OldSense = new(
        "PC0141",
        DiagnosticKind.Remark,
        "calibration in the older sense",
        "Calibrations say where the beam lands for a commanded place. In older machine files xx, xy and so on, right under 'calibration', say what to command for a wanted place. They still mean that; 'affine' under 'calibration' takes them in the one sense that all others have.");
}
