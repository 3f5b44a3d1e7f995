namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of filling figures with strokes.</summary>
internal static class FillCodes
{
    /// <summary>A layer that the fill settings name is not in the document.</summary>
    public static readonly DiagnosticCode UnknownLayer = new(
        "PC1201",
        DiagnosticKind.Input,
        "unknown layer",
        "Fill settings or the order of layers name a layer that the figures document does not have. A misspelt name would "
        + "write the layer with the wrong dose, so it is refused.");

    /// <summary>A spacing in codes without a machine to say how large a code is.</summary>
    public static readonly DiagnosticCode NoLattice = new(
        "PC1202",
        DiagnosticKind.Input,
        "spacing in codes without a machine",
        "A line pitch or point step is given in DAC codes, but nothing says where codes stand on the sample. Name the "
        + "machine, or give the spacing in nanometres.");

    /// <summary>A spacing of zero or less.</summary>
    public static readonly DiagnosticCode BadSetting = new(
        "PC1203",
        DiagnosticKind.Input,
        "impossible fill setting",
        "Line pitch and point step must be above zero; far below what a beam resolves they only cost memory and time.");

    /// <summary>A trigger that the machine does not have.</summary>
    public static readonly DiagnosticCode NoTrigger = new(
        "PC1220",
        DiagnosticKind.Input,
        "no trigger input",
        "The job waits for the trigger input before it writes, so that hum of the mains is the same for all that is written. The "
        + "machine file does not say that the controller has such an input, how often it comes and how long it may be waited for.");

    /// <summary>A figure needs more points than a stroke can count.</summary>
    public static readonly DiagnosticCode TooManyPoints = new(
        "PC1204",
        DiagnosticKind.Input,
        "too many points",
        "The spacing is so small against the figure that its lines or points exceed what a document can count. Usually a "
        + "unit is wrong.");

    /// <summary>Figures smaller than the shortest dwell.</summary>
    public static readonly DiagnosticCode TinyFigures = new(
        "PC1205",
        DiagnosticKind.Doubt,
        "figures below the shortest dwell",
        "Some figures need less charge than the beam delivers in the controller's shortest dwell. Each is written with "
        + "the shortest dwell or left out, whichever is nearer; those written get more than their dose. Many of them usually "
        + "mean slivers from the fracture or a beam current that is too high.");

    /// <summary>Figures so small that they are left out.</summary>
    public static readonly DiagnosticCode LeftOutFigures = new(
        "PC1285",
        DiagnosticKind.Loss,
        "figures left out",
        "Some figures need less than half of the charge that the beam delivers in the controller's shortest dwell, and are not "
        + "written. A lower beam current writes them; if they are slivers beside larger figures, nothing visible is missing.");

    /// <summary>Figures with dose factor 0.</summary>
    public static readonly DiagnosticCode NoDose = new(
        "PC1206",
        DiagnosticKind.Remark,
        "figures without dose",
        "The dose factor of the figure or of its layer is zero: it is not written.");

    /// <summary>Figures that contain no code.</summary>
    public static readonly DiagnosticCode MissedFigures = new(
        "PC1207",
        DiagnosticKind.Loss,
        "figures between codes",
        "With the plain rule 'a line is written if its centre lies inside', a figure narrower than the spacing can fall "
        + "between two codes and vanish.");

    /// <summary>Figures that get another charge by the centre rule.</summary>
    public static readonly DiagnosticCode CentredFigures = new(
        "PC1264",
        DiagnosticKind.Remark,
        "charge by the centre rule",
        "With 'placement: centre' a point is written whole or not at all. All points have the same dose, so that a figure gets as many "
        + "times that as it has points, whatever its area. Weighted placement keeps the charge of each figure.");

    /// <summary>Parts of figures too small for a pixel.</summary>
    public static readonly DiagnosticCode LackingFigures = new(
        "PC1265",
        DiagnosticKind.Doubt,
        "parts too small for a pixel",
        "Pixels at the end of a figure would need less than the shortest dwell, and no other pixel of the figure is near enough in the raster "
        + "to take their charge.");

    /// <summary>Figures whose dose is too low for the point step.</summary>
    public static readonly DiagnosticCode WidenedFigures = new(
        "PC1210",
        DiagnosticKind.Doubt,
        "points further apart than the point step",
        "The layer's own dose fits its spacing, but some figures have a lower dose (a dose factor, a proximity correction), and "
        + "their points would be shorter than the controller's shortest dwell. Their points are set further apart instead, "
        + "each so much longer: the charge stays exact. Where points would be so far apart that the dose is uneven, nothing is "
        + "changed, and scaling refuses the figure.");

    /// <summary>Figures that are large against the tilt of the field.</summary>
    public static readonly DiagnosticCode UnevenField = new(
        "PC1211",
        DiagnosticKind.Doubt,
        "codes move across figures",
        "In a field that is rotated, skewed or distorted a row of codes is not parallel to the edges of the drawing. Edges are "
        + "weighted for the codes as they stand in the middle of each figure, so that small figures are as exact as in an upright "
        + "field. Across a large figure the codes move by a part of a code or more, and its edges are then only as exact as "
        + "rounding makes them, half a code at worst. Smaller figures, or a scan that is turned until it is parallel to the "
        + "drawing, fix it. A raster is placed for the middle of all its areas.");

    /// <summary>A spacing that was chosen.</summary>
    public static readonly DiagnosticCode ChosenSpacing = new(
        "PC1208",
        DiagnosticKind.Remark,
        "chosen line pitch and point step",
        "Where line pitch or point step are 'automatic', each layer gets the finest whole numbers of codes at which the "
        + "controller's shortest dwell (with a reserve for the lighter points of weighted edges), its clock, the deflection's "
        + "speed and lag and the link keep up, at the lowest dose of the layer's figures; not finer than a quarter of the spot, "
        + "which would change nothing. The dwell grows with the product of the two, the speed of the beam falls with the pitch. "
        + "The dose may ripple by 2%. 'patternc estimate --json' lists the same numbers for scripts.");

    /// <summary>No spacing meets all limits.</summary>
    public static readonly DiagnosticCode NoSpacing = new(
        "PC1209",
        DiagnosticKind.Input,
        "no line pitch and point step meet all limits",
        "Clock, deflection and link ask for a spacing that is at least so wide, an even dose or the longest dwell for one that "
        + "is at most so wide, and there is none between. Less beam current helps the former in proportion, a wider beam the "
        + "evenness. A spacing that is given instead of 'automatic' is taken as it is.");
}
