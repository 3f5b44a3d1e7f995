namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Doubts that predictions raise.</summary>
internal static class PredictionCodes
{
    /// <summary>A document is judged with settings that it was not made with.</summary>
    public static readonly DiagnosticCode OtherSettings = new(
        "PC3090",
        DiagnosticKind.Input,
        "made for other settings",
        "Strokes, records and streams carry digests of the machine's settings and of the process and dose settings that they were made with. Estimates and simulations with other settings would be about another exposure: times, strays and edges would be wrong. Name the settings with --job, or --machine and --process. To see what would happen on another machine, say so with --other-settings. Streams of older versions state no digests; for them the settings must be named.");

    /// <summary>Nothing is exposed.</summary>
    public static readonly DiagnosticCode NothingExposed = new(
        "PC3001",
        DiagnosticKind.Doubt,
        "nothing is exposed",
        "The document holds no exposing record, so that the write would leave the resist untouched.");

    /// <summary>One code is large against the spot.</summary>
    public static readonly DiagnosticCode CoarseCodes = new(
        "PC3002",
        DiagnosticKind.Doubt,
        "codes coarse against the spot",
        "The beam can only rest on DAC codes. Where one code is more than half a spot wide, neighbouring lines no longer merge into an even dose "
        + "and slanted or curved edges show steps. A smaller field puts the codes closer together; weighted edge lines hide what is left.");

    /// <summary>The dose ripples.</summary>
    public static readonly DiagnosticCode DoseRipple = new(
        "PC3003",
        DiagnosticKind.Doubt,
        "uneven dose between lines or points",
        "Lines or points stand so far apart against the spot that the dose between them falls. The ripple is computed from their true places on "
        + "the DAC's codes: a pitch that is no whole number of codes alternates between two spacings and ripples more than the pitch alone would.");

    /// <summary>A dwell near the controller's minimum.</summary>
    public static readonly DiagnosticCode DwellNearMinimum = new(
        "PC3004",
        DiagnosticKind.Doubt,
        "dwell near the controller's minimum",
        "The shortest dwell is less than twice what the controller can make. A little more beam current, or a lower dose, would not be possible "
        + "any more; a larger point step lengthens the dwell in proportion.");

    /// <summary>A dwell of few ticks.</summary>
    public static readonly DiagnosticCode CoarseDwell = new(
        "PC3005",
        DiagnosticKind.Doubt,
        "dwell of few clock ticks",
        "Dwells are whole clock ticks. The remainder is carried from point to point, so that each figure gets its charge, but single points "
        + "differ by up to half a tick, which shows when a dwell is only a few ticks long.");

    /// <summary>Few electrons.</summary>
    public static readonly DiagnosticCode ShotNoise = new(
        "PC3006",
        DiagnosticKind.Doubt,
        "few electrons in a figure",
        "The number of electrons that a figure receives scatters by its square root (Poisson statistics). Small features in a sensitive resist "
        + "then differ visibly in size from one to the next, whatever the machine does.");

    /// <summary>The link cannot keep up.</summary>
    public static readonly DiagnosticCode LinkTooSlow = new(
        "PC3007",
        DiagnosticKind.Doubt,
        "link too slow",
        "The controller uses up records faster than the link brings new ones, and its buffer runs empty. It then blanks and stops until more "
        + "arrive; without a blanker the beam rests on one place all the while and exposes it. Nothing of a block of records is used before all "
        + "of it has come, and a block keeps its room in the buffer until its last record is done: a buffer of a single block stalls between any two.");

    /// <summary>The link barely keeps up.</summary>
    public static readonly DiagnosticCode LinkNearLimit = new(
        "PC3008",
        DiagnosticKind.Doubt,
        "link near its limit",
        "The busiest part of the write needs more than four fifths of the link's stated rate. Stated rates are rarely sustained: expect stalls.");

    /// <summary>Settling takes most of the time.</summary>
    public static readonly DiagnosticCode SettlingDominates = new(
        "PC3009",
        DiagnosticKind.Doubt,
        "settling takes most of the time",
        "More time goes into jumps and waiting for the deflection than into exposing. Shorter jumps (another order of figures, lines back and "
        + "forth instead of one direction) or a measured settling time save most of it.");

    /// <summary>A long write.</summary>
    public static readonly DiagnosticCode LongWrite = new(
        "PC3010",
        DiagnosticKind.Doubt,
        "long write",
        "Over an hour the beam current of a microscope changes by percents and the stage creeps. Read the current before and after, and put "
        + "what must fit together close together in time.");

    /// <summary>The map of a simulation does not fit memory.</summary>
    public static readonly DiagnosticCode MapTooLarge = new(
        "PC3020",
        DiagnosticKind.Input,
        "simulation map too large",
        "A simulation keeps the dose in tiles of 256 by 256 pixels where charge falls, in 512 MB and 64 bytes more for each point written, "
        + "3 GB at most. Large exposed areas with small pixels need more, and so do single points far apart. Pixels of half the spot are "
        + "usually fine enough; a window limits the simulation to the place of interest, with pixels eight times as large around it.");

    /// <summary>Pixels too large for the beam.</summary>
    public static readonly DiagnosticCode PixelTooLarge = new(
        "PC3021",
        DiagnosticKind.Input,
        "pixels too large for the beam",
        "Edges cannot be found between pixels unless the beam, with its forward scattering, spans several of them.");

    /// <summary>Jumps that draw lines.</summary>
    public static readonly DiagnosticCode StrayLines = new(
        "PC3025",
        DiagnosticKind.Loss,
        "jumps that would print",
        "Along some jumps the beam is on, wholly or in part, and slow enough to reach the dose from which the resist reacts: the blanker leaks, answers "
        + "late, or is missing. Where some of the beam comes through on every jump, what all jumps leave is added up with the pattern's own "
        + "background, and what the pattern exposes anyway is taken off; otherwise each jump is judged alone. Beside a figure its blurred rim does not count, "
        + "which prints a little further out with whatever is added: a line is what jumps and background alone print, or what joins figures across a narrow gap.");

    /// <summary>One jump that draws a line.</summary>
    public static readonly DiagnosticCode StrayLine = new(
        "PC3026",
        DiagnosticKind.Loss,
        "stray line",
        "One jump that would print: the figures that it connects, where it runs, how long and wide the printed part is and its largest dose, "
        + "with the jump's own share where other jumps or the background add to it.");

    /// <summary>Nothing is known of the deflection's speed.</summary>
    public static readonly DiagnosticCode StrayUnknown = new(
        "PC3027",
        DiagnosticKind.Loss,
        "stray lines cannot be predicted",
        "Some of the beam comes through on every jump. What it leaves depends on the speed of the deflection, which 'settle.time_constant' "
        + "and 'settle.slew' of the machine file give. A table of waiting times alone does not tell it.");

    /// <summary>A fog of what leaks that is a good part of the onset.</summary>
    public static readonly DiagnosticCode LeakFog = new(
        "PC3028",
        DiagnosticKind.Doubt,
        "leak raises the background",
        "What a blanker leaks out of focus ('blanker.leak_spot') draws no lines: it lies as a fog over all that is near, and adds to every dose. Edges are moved by it, "
        + "which 'simulate' shows, and 'correct' does not know of it.");

    /// <summary>A fog of what leaks that prints.</summary>
    public static readonly DiagnosticCode LeakFogPrints = new(
        "PC3029",
        DiagnosticKind.Loss,
        "leak prints by itself",
        "What a blanker leaks out of focus ('blanker.leak_spot') adds up to the dose at which the resist starts to react, without anything of the pattern: "
        + "where the beam waits or settles for long, or everywhere around the pattern.");

    /// <summary>A window of time or records that holds nothing.</summary>
    public static readonly DiagnosticCode EmptyWindow = new(
        "PC3030",
        DiagnosticKind.Input,
        "nothing in the window",
        "The traces of a window of time or of records were asked for, and nothing of the exposure that takes time lies within it. Times count "
        + "from the start of the first record, and records from 0.");

    /// <summary>A measured trace that cannot be read.</summary>
    public static readonly DiagnosticCode BadTrace = new(
        "PC3031",
        DiagnosticKind.Input,
        "measured trace not readable",
        "A measured trace is a table as scopes write it: lines of numbers with the time in the first column and one or more channels behind it, "
        + "split by commas, semicolons or tabs, under a heading that names channels and units. Lines before the first number are taken as heading. "
        + "Time has to rise from line to line.");

    /// <summary>A measured trace that tells nothing about an output.</summary>
    public static readonly DiagnosticCode UnfitTrace = new(
        "PC3032",
        DiagnosticKind.Input,
        "measured trace cannot be compared",
        "Delay, gain and offset of a measured trace are found where it looks most like the prediction. That needs a prediction that moves within the "
        + "time of the trace, a channel that moves, too, and samples close enough to see it. Of several places that fit alike, as in rows that repeat "
        + "themselves, the one with the shortest delay is taken.");

    /// <summary>Records wait for a trigger that the machine does not have.</summary>
    public static readonly DiagnosticCode NoTrigger = new(
        "PC3040",
        DiagnosticKind.Input,
        "no trigger input to predict with",
        "The records wait for the trigger input. How long, and where in the mains period they go on, follows from the trigger's "
        + "frequency in the machine file, and the machine that was named has none.");

    /// <summary>What leaks while a trigger is waited for.</summary>
    public static readonly DiagnosticCode LeakWhileWaiting = new(
        "PC3041",
        DiagnosticKind.Doubt,
        "leak while waiting for a trigger",
        "While an edge is waited for, the beam is off and rests where writing goes on. What a leaky blanker lets through collects "
        + "there, as long as the wait takes, and nothing can make up for it because its time is not known in advance.");
}
