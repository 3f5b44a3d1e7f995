namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The named arguments of shapes and placements; a flag each, so that a statement can name the set it takes.</summary>
[Flags]
internal enum ArgumentKind
{
    None = 0,
    On = 1 << 0,
    From = 1 << 1,
    To = 1 << 2,
    At = 1 << 3,
    Centre = 1 << 4,
    Size = 1 << 5,
    Radius = 1 << 6,
    Diameter = 1 << 7,
    Inner = 1 << 8,
    Outer = 1 << 9,
    Width = 1 << 10,
    Ends = 1 << 11,
    Rule = 1 << 12,
    Dose = 1 << 13,
    Rotate = 1 << 14,
    Mirror = 1 << 15,
    Scale = 1 << 16,
    Columns = 1 << 17,
    Rows = 1 << 18,
    ColumnStep = 1 << 19,
    RowStep = 1 << 20,
    ColumnDose = 1 << 21,
    RowDose = 1 << 22,
    Height = 1 << 23,
    Align = 1 << 24,
    Drawn = 1 << 25,
}
