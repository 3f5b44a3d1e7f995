namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults of scaling strokes to DAC codes and clock ticks.</summary>
internal static class ScaleCodes
{
    /// <summary>A stroke leaves the field.</summary>
    public static readonly DiagnosticCode OutOfField = new(
        "PC1401",
        DiagnosticKind.Input,
        "pattern outside the field",
        "A stroke needs a voltage that the converter cannot give. Clamping it would write it in the wrong place, so "
        + "nothing is written. Move or shrink the drawing, or enlarge the field (lower magnification).");

    /// <summary>A point would have to be shorter than the controller can make it.</summary>
    public static readonly DiagnosticCode DwellTooShort = new(
        "PC1402",
        DiagnosticKind.Input,
        "dwell below the controller's shortest",
        "At this beam current and spacing the dose is reached before the controller can move on, so the area would be "
        + "overexposed. A larger point step or line pitch, or a smaller beam current, makes the dwell longer.");

    /// <summary>A point would have to be longer than the controller can count.</summary>
    public static readonly DiagnosticCode DwellTooLong = new(
        "PC1403",
        DiagnosticKind.Input,
        "dwell above the controller's longest",
        "At this beam current and spacing one point takes longer than the controller can count. A smaller point step, a "
        + "larger beam current or several passes make the dwell shorter.");

    /// <summary>Strokes wait for a trigger that the machine does not have.</summary>
    public static readonly DiagnosticCode NoTrigger = new(
        "PC1410",
        DiagnosticKind.Input,
        "strokes for a machine with a trigger input",
        "The strokes were filled so that they wait for the trigger input, and the machine file does not say that the controller has one. "
        + "Written without the waits they would meet another phase of the mains each time.");

    /// <summary>A stroke leaves the calibrated area.</summary>
    public static readonly DiagnosticCode OutsideCalibration = new(
        "PC1404",
        DiagnosticKind.Input,
        "pattern outside the calibrated area",
        "A measured calibration says nothing of places beyond its outermost marks, and continuing it there could bend the "
        + "pattern by any amount. Move or shrink the drawing, or calibrate a larger part of the field.");

    /// <summary>A stroke needs a code that the amplifier behind the converter does not follow.</summary>
    public static readonly DiagnosticCode NotFollowed = new(
        "PC1405",
        DiagnosticKind.Input,
        "pattern beyond what the amplifiers follow",
        "The converter has such a code, but the amplifier behind it is at its limit there: the beam would stay where it clips. The machine file "
        + "states the codes that it follows as 'usable_x' and 'usable_y' of 'deflection', found by 'patternc fit converter'. Jumps, the place to park and where the beam "
        + "waits keep to them, too. Move or shrink the drawing, enlarge the field (lower magnification), or give the amplifier more room and measure again.");
}
