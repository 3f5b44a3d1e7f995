namespace PatternCompiler.Prediction.Shapes;

/// <summary>
/// How a printed pattern can differ from the drawn one. The first four are about areas that meet, the next four about areas
/// that find no counterpart; each has a twin with exposed and unexposed exchanged. The last two are edges that are off by
/// more than an edge is looked for.
/// </summary>
internal enum ShapeFaultKind
{
    /// <summary>A printed area joins drawn areas that stand apart.</summary>
    Shorted,

    /// <summary>A printed area closes a gap that is drawn open, without joining another area: two turns of one spiral.</summary>
    Bridge,

    /// <summary>A drawn area prints in several parts.</summary>
    Open,

    /// <summary>A drawn area prints in one part, but cut through: a ring that does not close.</summary>
    Cut,

    /// <summary>A drawn area of which nothing prints.</summary>
    Lost,

    /// <summary>A printed area that meets nothing drawn.</summary>
    Island,

    /// <summary>An unexposed place inside a drawn area, where none is drawn.</summary>
    Hole,

    /// <summary>A drawn hole of which nothing stays bare.</summary>
    FilledHole,

    /// <summary>A part of a drawn area that does not print, farther than an edge error from all that prints of it: the end of a line.</summary>
    MissingPart,

    /// <summary>A printed part farther than an edge error outside all that is drawn of it: a stub.</summary>
    ExcessPart,
}
