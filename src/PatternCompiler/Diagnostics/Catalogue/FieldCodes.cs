namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Faults and notes of the division into write fields.</summary>
internal static class FieldCodes
{
    /// <summary>What the division made.</summary>
    public static readonly DiagnosticCode Divided = new(
        "PC1701",
        DiagnosticKind.Remark,
        "divided into write fields",
        "The pattern is larger than what the beam reaches from one position of the stage, or was to be divided: it is written "
        + "field by field. Figures that one field holds are written whole; the others are cut at seams, which run where "
        + "they do least harm. A wider margin between the fields leaves more room to avoid cuts.");

    /// <summary>Settings that contradict each other.</summary>
    public static readonly DiagnosticCode BadSetting = new(
        "PC1702",
        DiagnosticKind.Input,
        "write fields cannot be laid out",
        "The size of the write fields, what neighbours share, and the width of seams must leave something to step by: fields "
        + "share at least the width of a seam and 100 nm, and at most half of their size.");

    /// <summary>Something has no field.</summary>
    public static readonly DiagnosticCode CannotPlace = new(
        "PC1703",
        DiagnosticKind.Input,
        "no write field for a figure",
        "Every figure goes to a field that reaches it; what no field holds whole is cut. A registration mark is never cut, so "
        + "some field must hold it.");

    /// <summary>Only marks, or nothing.</summary>
    public static readonly DiagnosticCode NothingToDivide = new(
        "PC1704",
        DiagnosticKind.Input,
        "nothing to divide",
        "Write fields are laid out around what is to be written. Registration marks alone do not need any: they are written in "
        + "every field that something else needs.");

    /// <summary>A field that the plan does not have.</summary>
    public static readonly DiagnosticCode UnknownField = new(
        "PC1705",
        DiagnosticKind.Input,
        "no such write field",
        "Fields are named by row and column, such as r01c02: rows count from below, columns from the left. Fields without "
        + "figures are not written and have no name.");

    /// <summary>The stage cannot go there.</summary>
    public static readonly DiagnosticCode BeyondStage = new(
        "PC1706",
        DiagnosticKind.Input,
        "stage cannot reach a write field",
        "The machine file says how far the stage travels, and a field's centre lies beyond. Place the pattern elsewhere, or give "
        + "the stage reading of the pattern's origin ('stage.origin').");

    /// <summary>The move time is not known.</summary>
    public static readonly DiagnosticCode NoStage = new(
        "PC1707",
        DiagnosticKind.Remark,
        "time of stage moves not known",
        "The machine file does not describe the stage, so the total time counts only what the beam does. Add 'stage' with its "
        + "speed and settling time; for a stage moved by hand, the time that a move takes as its settling time.");

    /// <summary>Cuts that could not be exact.</summary>
    public static readonly DiagnosticCode Bent = new(
        "PC1708",
        DiagnosticKind.Remark,
        "sides bent at a seam",
        "Cuts at seams run between grid points and keep the true sides, so that nothing is rounded. A side that rises by less "
        + "than a grid step over the whole margin leaves no grid point to cut at; it is bent to the nearest one, which moves it by "
        + "no more than half a grid step. Usually such a side was meant to be straight and carries rounding noise of its drawing.");

    /// <summary>It is not said how a field lies on the layer below.</summary>
    public static readonly DiagnosticCode NoAlignment = new(
        "PC1709",
        DiagnosticKind.Input,
        "alignment of a write field not known",
        "A job that places its layer on another says where: for the whole pattern, or for every write field by its name. A document "
        + "of a single field does not name it; the manifest does.");

    /// <summary>The play of the stage's screws will show at seams.</summary>
    public static readonly DiagnosticCode Backlash = new(
        "PC1710",
        DiagnosticKind.Doubt,
        "backlash between write fields",
        "The machine file says that the stage stays short of readings that it comes down to, and does not say that it comes to all of them from "
        + "the same side. Fields that it comes to from either side then lie apart by the backlash. 'stage.approach' makes every move end over the "
        + "same way, which must be longer than the backlash; the manifest lists where each of these ways begins.");

    /// <summary>The field's width is not known there.</summary>
    public static readonly DiagnosticCode BeyondHeight = new(
        "PC1711",
        DiagnosticKind.Input,
        "height of a write field",
        "A field grows with the working distance, by the part per millimetre that the machine file states ('stage.height') about the reading for "
        + "which it was calibrated. Where it would be less than half or more than twice as wide, a unit or a sign is wrong, or the field must be "
        + "calibrated for that working distance.");

    /// <summary>Charge stays where it is put.</summary>
    public static readonly DiagnosticCode Charging = new(
        "PC1712",
        DiagnosticKind.Remark,
        "insulating substrate",
        "Electrons that stop in an insulator stay, and their field moves the beam: by far more than a spot within and beside what was just written. "
        + "A grounded conductive layer over or under the resist (a few nanometres of metal, or a conductive polymer) removes the cause; a lower beam current "
        + "and low doses give charge time to leak; an order that puts what follows in time far apart in space ('order.by: spread', 'fields.order: spread') keeps the "
        + "field of what was just written away from what comes next. No prediction of this program counts charge.");
}
