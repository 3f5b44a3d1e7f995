namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Messages about the order of writing and its timing.</summary>
internal static class OrderCodes
{
    /// <summary>Beam-on segments below the blanker's speed.</summary>
    public static readonly DiagnosticCode BlankerTooSlow = new(
        "PC1302",
        DiagnosticKind.Doubt,
        "blanker too slow",
        "Once on, the beam stays on for the shortest dwell and the off-delay of the blanker, less its on-delay where it stays at one point. "
        + "Beam-on segments that ask for less get that much all the same, and other strokes of the same figure get less in return. Figures that "
        + "have no such strokes get more charge than they ask for: more than half a tick, or a tick where the blanker leaks or its delays are "
        + "not whole ticks. A blanker that turns off sooner fixes it.");

    /// <summary>A blanker whose delays are not compensated.</summary>
    public static readonly DiagnosticCode DelaysLeft = new(
        "PC1364",
        DiagnosticKind.Doubt,
        "delays of the blanker left",
        "With 'compensate: no' dwells are what the dose asks for, but the beam comes on late and goes off late: each time it is on it brings as "
        + "much more or less as the two delays differ.");

    /// <summary>What leading jumps around brought.</summary>
    public static readonly DiagnosticCode HiddenTravel = new(
        "PC1303",
        DiagnosticKind.Remark,
        "jumps led around",
        "With 'order.travel: hidden', jumps that would print a stray line are led over what the pattern exposes anyway, or along detours "
        + "around the pattern, without settling on the way, and figures that touch are written one after the other. The search keeps bare areas "
        + "below four fifths of the onset, background included, also for a deflection 5% slower or faster than stated. Of the plans found the one "
        + "that prints least is taken, straight jumps among them; what prints around the pattern counts little.");

    /// <summary>A waiting place on the pattern.</summary>
    public static readonly DiagnosticCode ParkOnPattern = new(
        "PC1304",
        DiagnosticKind.Doubt,
        "beam waits on the pattern",
        "Without a blanker the beam exposes the place where it waits before and after writing. That place must lie outside the pattern, as far "
        + "as scattered electrons reach.");

    /// <summary>A figure too near to the field's edge to be approached.</summary>
    public static readonly DiagnosticCode NoRoomToApproach = new(
        "PC1305",
        DiagnosticKind.Input,
        "no room to approach",
        "With 'settle.approach' every exposure is approached from a point to the left of and below its start, which must lie where the "
        + "converters reach. Nothing is written that would be approached otherwise than the rest.");

    /// <summary>Slanted strokes under an approach from one side.</summary>
    public static readonly DiagnosticCode DownhillStrokes = new(
        "PC1306",
        DiagnosticKind.Remark,
        "strokes to the right and down",
        "With 'settle.approach' all strokes are written to the right, upright ones upwards. A stroke that is slanted down to the right goes "
        + "against the approach along one of the axes whichever end comes first, and lies off by the hysteresis of that axis.");
}
