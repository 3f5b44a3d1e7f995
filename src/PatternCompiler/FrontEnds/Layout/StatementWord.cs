namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The words that open a line.</summary>
internal enum StatementWord
{
    None,
    Rect,
    Polygon,
    Hole,
    Part,
    Circle,
    Ring,
    Path,
    Line,
    Dot,
    Text,
    Place,
    Array,
    Let,
    Cell,
    Repeat,
    End,
    Layer,
    Unit,
    Grid,
    Drawing,
    Placed,
    Include,
    Layout,
    Origin,
    Named,
}
