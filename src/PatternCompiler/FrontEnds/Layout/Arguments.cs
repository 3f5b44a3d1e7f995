using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>The arguments of one statement, as read.</summary>
internal struct Arguments
{
    public ArgumentKind Given;
    public int Layer;
    public GridPoint From;
    public GridPoint To;
    public GridPoint At;
    public GridPoint Centre;
    public GridPoint Size;
    public int Radius;
    public int Inner;
    public int Outer;
    public int Width;
    public int Height;
    public PathEnd Ends;
    public FillRule Rule;
    public DoseFactor Dose;
    public double Rotate;
    public bool MirrorsLeftRight;
    public bool MirrorsUpDown;
    public double ScaleX;
    public double ScaleY;
    public int Columns;
    public int Rows;
    public GridPoint ColumnStep;
    public GridPoint RowStep;
    public int ColumnDose;
    public int RowDose;
    public TextAlignment Align;
    public PlaceId Drawn;
    public ArrayElement Element;

    /// <summary>What an argument is when it is not given.</summary>
    public static Arguments Defaults => new()
    {
        Dose = DoseFactor.One,
        Rule = FillRule.EvenOdd,
        ScaleX = 1,
        ScaleY = 1,
        Columns = 1,
        Rows = 1,
    };

    /// <summary>True if the argument was given.</summary>
    public readonly bool Has(ArgumentKind kind) => (Given & kind) != 0;

    /// <summary>Fails if an argument was not given.</summary>
    public readonly void Require(in LineScanner scanner, string statement, ArgumentKind kind, string example)
    {
        if (!Has(kind))
        {
            throw scanner.Fault(
                LayoutCodes.MissingArgument,
                $"'{statement}' needs '{ArgumentReader.WordOf(kind)}'",
                scanner.Position,
                $"add for example: {example}");
        }
    }

    /// <summary>Fails if two arguments that say the same were given.</summary>
    public readonly void Exclude(in LineScanner scanner, ArgumentKind one, ArgumentKind other)
    {
        if (Has(one) && Has(other))
        {
            throw scanner.Fault(
                LayoutCodes.ConflictingArguments,
                $"'{ArgumentReader.WordOf(one)}' and '{ArgumentReader.WordOf(other)}' exclude each other",
                scanner.Position,
                "keep one of them");
        }
    }
}
