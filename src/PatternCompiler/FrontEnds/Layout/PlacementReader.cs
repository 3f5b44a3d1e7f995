using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads <c>place</c> and <c>array</c>.</summary>
internal sealed class PlacementReader(ArgumentReader arguments, DocumentBuilder document)
{
    private const ArgumentKind ForPlace =
        ArgumentKind.At | ArgumentKind.Rotate | ArgumentKind.Mirror | ArgumentKind.Scale | ArgumentKind.Dose | ArgumentKind.Drawn;

    private const ArgumentKind ForArray =
        ForPlace | ArgumentKind.Columns | ArgumentKind.Rows | ArgumentKind.ColumnStep | ArgumentKind.RowStep
        | ArgumentKind.ColumnDose | ArgumentKind.RowDose;

    /// <summary>Reads the rest of the line and adds the instance to the current cell.</summary>
    public void Read(ref LineScanner scanner, StatementWord statement)
    {
        string word = StatementWords.NameOf(statement);
        _ = scanner.AtEnd;
        int start = scanner.Position;
        string cell = scanner.TakeName("the name of a cell");
        Arguments given = arguments.Read(ref scanner, word, statement == StatementWord.Array ? ForArray : ForPlace);
        scanner.ExpectEnd($"the arguments of '{word}'");
        given.Require(scanner, word, ArgumentKind.At, "at (0, 0)");
        if (statement == StatementWord.Array)
        {
            RequireArray(scanner, given);
        }

        var orientation = new Orientation(
            given.Rotate,
            given.MirrorsLeftRight ? -given.ScaleX : given.ScaleX,
            given.MirrorsUpDown ? -given.ScaleY : given.ScaleY);
        var repetition = new Repetition(given.Columns, given.Rows, given.ColumnStep, given.RowStep, given.ColumnDose, given.RowDose);
        document.Current.AddInstance(new Instance(cell, given.At, orientation, repetition, given.Dose) { Place = document.PlaceOf(scanner, statement, given), Element = given.Element }, scanner, start);
    }

    private static void RequireArray(in LineScanner scanner, in Arguments given)
    {
        if (!given.Has(ArgumentKind.Columns | ArgumentKind.Rows))
        {
            throw scanner.Fault(
                LayoutCodes.MissingArgument,
                "'array' needs 'columns' or 'rows'",
                scanner.Position,
                "add for example: columns 5 column-step 2 um");
        }

        if (given.Columns > 1)
        {
            given.Require(scanner, "array", ArgumentKind.ColumnStep, "column-step 2 um");
        }

        if (given.Rows > 1)
        {
            given.Require(scanner, "array", ArgumentKind.RowStep, "row-step 2 um");
        }

        if (given.Has(ArgumentKind.ColumnStep | ArgumentKind.ColumnDose))
        {
            given.Require(scanner, "array", ArgumentKind.Columns, "columns 5");
        }

        if (given.Has(ArgumentKind.RowStep | ArgumentKind.RowDose))
        {
            given.Require(scanner, "array", ArgumentKind.Rows, "rows 5");
        }
    }
}
