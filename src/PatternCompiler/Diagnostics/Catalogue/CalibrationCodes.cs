namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults in measurements and in what can be fitted to them.</summary>
internal static class CalibrationCodes
{
    /// <summary>A measurement table is malformed.</summary>
    public static readonly DiagnosticCode BadTable = new(
        "PC4001",
        DiagnosticKind.Input,
        "measurement table cannot be read",
        "A measurement table is comma-separated text: a header line that names each column with its unit in brackets, "
        + "then one line of numbers per measurement. Lines that start with # are comments.");

    /// <summary>Fewer measurements than the model has parameters.</summary>
    public static readonly DiagnosticCode TooFewMeasurements = new(
        "PC4002",
        DiagnosticKind.Input,
        "too few measurements",
        "A fit needs at least as many measurements as parameters, and one more before it can say how sure it is. "
        + "Measure more points, or fit a simpler model.");

    /// <summary>The measurements do not cover what the model describes.</summary>
    public static readonly DiagnosticCode NotCovered = new(
        "PC4003",
        DiagnosticKind.Input,
        "measurements miss the part that matters",
        "The parameters of a contrast curve show only where the resist thins, those of a spread function only over radii "
        + "from the forward to the backscattered range. Measurements outside say nothing about them, so no value is made up.");

    /// <summary>The measurements do not determine the parameters.</summary>
    public static readonly DiagnosticCode Undetermined = new(
        "PC4004",
        DiagnosticKind.Input,
        "measurements do not determine the parameters",
        "Several sets of parameters fit equally well, for example when all marks lie on one line. "
        + "Spread the measurements out.");

    /// <summary>A measured value is impossible.</summary>
    public static readonly DiagnosticCode ImpossibleValue = new(
        "PC4005",
        DiagnosticKind.Input,
        "impossible measurement",
        "Doses, radii, speeds and lengths are positive numbers; thickness is zero or more. Check the line named.");

    /// <summary>The fit uses no spare measurement.</summary>
    public static readonly DiagnosticCode NoSpareMeasurement = new(
        "PC4006",
        DiagnosticKind.Doubt,
        "as many parameters as measurements",
        "The model passes through every measurement, so its residuals are zero by construction and say nothing about its "
        + "quality. Measure more points before trusting it.");

    /// <summary>The search for nonlinear parameters did not settle.</summary>
    public static readonly DiagnosticCode NotConverged = new(
        "PC4007",
        DiagnosticKind.Input,
        "fit did not converge",
        "No set of parameters near any of the starting points describes the measurements. The data may hold a misread "
        + "line, or belong to another model.");

    /// <summary>A spot that leaves nothing of a fitted range.</summary>
    public static readonly DiagnosticCode SpotWiderThanDots = new(
        "PC4071",
        DiagnosticKind.Input,
        "spot wider than the fitted range",
        "Dots show the spread of an ideally fine beam and the spot together, their 1/e radii added in quadrature; the process file holds the spread alone, and the machine file the spot. "
        + "The fitted range is no wider than the stated spot alone, so that nothing is left for the spread. A spot is a full width at half maximum, 1.67 times its 1/e radius.");

    /// <summary>Measurements that contradict what they are fitted to.</summary>
    public static readonly DiagnosticCode Contradiction = new(
        "PC4073",
        DiagnosticKind.Input,
        "measurements contradict the model",
        "What is fitted comes out as nothing that can be: a delay below zero, a field whose x follows the commanded y, a scale far from one. "
        + "Columns are exchanged, or their units are others than the header says.");

    /// <summary>Measurements of a resist of the other tone.</summary>
    public static readonly DiagnosticCode WrongTone = new(
        "PC4072",
        DiagnosticKind.Input,
        "the resist has the other tone",
        "A positive resist thins with dose, a negative one stays. The measurements follow the other tone than was stated: state it with --tone, or look for exchanged or inverted columns.");

    /// <summary>A dose test whose readings all lie to one side of the threshold.</summary>
    public static readonly DiagnosticCode NoReadingNearThreshold = new(
        "PC4043",
        DiagnosticKind.Input,
        "no reading near the threshold",
        "Squares tell the dose at which a resist prints only if some print and some do not. The threshold lies outside of what was written, so no value is made up.");

    /// <summary>A line of a dose test that describes no feature.</summary>
    public static readonly DiagnosticCode BadFeature = new(
        "PC4044",
        DiagnosticKind.Input,
        "feature of a dose test is not described",
        "A line says what was looked at: 'square' with its side and what was left in its middle, 'bar' or 'gap' with drawn and measured width. "
        + "Bars side by side have their number in the column 'bars' and the distance from one to the next in 'pitch'.");

    /// <summary>Squares that say nothing of the threshold, beside widths that do.</summary>
    public static readonly DiagnosticCode SquaresTellNothing = new(
        "PC4045",
        DiagnosticKind.Doubt,
        "squares of a dose test tell nothing",
        "The thicknesses left in the squares do not show from which dose on the resist prints, for example because all of them print. The threshold then comes from widths alone.");

    /// <summary>Squares without a thickness among squares with one.</summary>
    public static readonly DiagnosticCode VerdictsNotUsed = new(
        "PC4046",
        DiagnosticKind.Doubt,
        "squares without a thickness are not used",
        "A curve through thicknesses tells the threshold better than squares of which is only known whether they printed, and the two are not mixed.");

    /// <summary>Readings of one output at the same codes that differ.</summary>
    public static readonly DiagnosticCode ReadingsDisagree = new(
        "PC4047",
        DiagnosticKind.Input,
        "readings of the same codes disagree",
        "An output was read twice with both outputs at the same codes, and the voltages differ by more than the meter and any carry explain: by eight standard errors of a reading and an 8192nd part of the range. "
        + "One of them is wrong, and nothing tells which.");

    /// <summary>A reading that stands apart from its neighbours.</summary>
    public static readonly DiagnosticCode ReadingLeftOut = new(
        "PC4048",
        DiagnosticKind.Doubt,
        "reading of a converter left out",
        "A reading lies more than eight times as far as is usual in its table off the middle one of the readings of the codes beside it, and further than an 8192nd part of the range. No carry does that; a misread digit does.");

    /// <summary>An output that follows its code nowhere near the whole range.</summary>
    public static readonly DiagnosticCode AmplifierClips = new(
        "PC4049",
        DiagnosticKind.Input,
        "amplifier clips over most of the range",
        "An amplifier follows its converter where the output rises with the code as it should; at its ends it clips. What is left here is less than a quarter of all codes, or does not hold the middle of the range, where the field's centre is.");

    /// <summary>Readings that do not tell crosstalk.</summary>
    public static readonly DiagnosticCode CrosstalkNotTold = new(
        "PC4050",
        DiagnosticKind.Doubt,
        "readings do not tell crosstalk",
        "What an output feels of the other shows where one code is read with the other output at different codes, best at both of its ends. Without such readings the fit takes crosstalk to be none.");

    /// <summary>Readings that scatter more than their stated error.</summary>
    public static readonly DiagnosticCode ReadingsScatter = new(
        "PC4051",
        DiagnosticKind.Doubt,
        "readings scatter more than the meter",
        "Readings of one code differ by more than twice the error that was stated, after crosstalk. The outputs had not settled, they drift, or the meter is worse than stated; intervals are then too short.");

    /// <summary>Mean currents that do not tell a leak.</summary>
    public static readonly DiagnosticCode LeakNotTold = new(
        "PC4052",
        DiagnosticKind.Doubt,
        "currents do not tell the leak",
        "What leaks shows in how the mean current depends on the part of the time that the beam is on. With one part alone a leak and a smaller current look alike, "
        + "and the leak is taken to be none.");

    /// <summary>Times of measurements that meet the mains at the same phase.</summary>
    public static readonly DiagnosticCode SynchronousRows = new(
        "PC4080",
        DiagnosticKind.Input,
        "rows synchronous with the mains",
        "Hum shows in how displacements change with the phase of the mains. Rows that come once in a whole number of periods meet one phase "
        + "alone, and rows at two or three phases show twice or three times the frequency as something else. What is not seen is not made up.");

    /// <summary>A mark of the layer below that its picture does not show.</summary>
    public static readonly DiagnosticCode MarkNotFound = new(
        "PC4061",
        DiagnosticKind.Remark,
        "mark not found",
        "The table has no place for this mark: its picture was refused, or shows something else. The alignment is fitted to the others.");

    /// <summary>A mark of the layer below that lies elsewhere than the others say.</summary>
    public static readonly DiagnosticCode MarkLeftOut = new(
        "PC4062",
        DiagnosticKind.Doubt,
        "mark left out of an alignment",
        "All other marks fit together, and they would not if any other one were left out in its place. By stated errors, chance leaves as much once in a thousand tables; "
        + "without, the mark stands out as it would once in a hundred. That takes two marks more than the model needs: five for an affine one.");

    /// <summary>Marks that do not fit together, of which none stands out.</summary>
    public static readonly DiagnosticCode MarksDisagree = new(
        "PC4063",
        DiagnosticKind.Doubt,
        "marks scatter more than their errors",
        "What the fit leaves is more than the marks' errors explain (chance leaves as much once in a thousand tables), and leaving out no single mark would mend it, or more than one would. "
        + "Several marks are displaced, the errors are larger than stated, or the model is too simple.");

    /// <summary>Marks of a field that lie where they were commanded.</summary>
    public static readonly DiagnosticCode NoDistortionSeen = new(
        "PC4055",
        DiagnosticKind.Doubt,
        "no distortion is seen",
        "What writes a mark in the wrong place scans its picture in the same wrong way, and shows it where it was commanded. Marks that lie where they should within their noise are more often hidden than right. "
        + "A stage or a microscope that does not use this deflection tells, or views of the same marks with the sample turned and moved.");

    /// <summary>A part of the distortion that the views do not tell.</summary>
    public static readonly DiagnosticCode HiddenOrder = new(
        "PC4056",
        DiagnosticKind.Doubt,
        "views hide a part of the distortion",
        "Views tell the field's distortion from the places of the marks by what does not turn and move with the sample. A quarter turn tells the axes' scales and their angle and what is curved to one side; "
        + "only a shift tells what looks the same after a quarter turn, such as a pincushion.");

    /// <summary>No length on the sample is known.</summary>
    public static readonly DiagnosticCode ScaleNotSeen = new(
        "PC4057",
        DiagnosticKind.Remark,
        "scale of the field is not told",
        "Views of marks whose places nobody knows tell the shape of the field and not its size. One known distance between two of the marks does.");

    /// <summary>A fast part of settling that was gone before the first reading.</summary>
    public static readonly DiagnosticCode FastPartUnseen = new(
        "PC4074",
        DiagnosticKind.Doubt,
        "fast part of settling not seen",
        "After every wait of the table the fast part of the response was gone: the readings tell the slow part alone, and of the fast one that its time constant is no longer "
        + "than stated. Waits come out too long by that, and lines are sent too far ahead where 'cancel_lag' is on; dots after shorter waits tell it.");
}
