using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Limits;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>One reading of a document with the files it includes: takes line after line and carries out its statement.</summary>
internal sealed class LayoutSession
{
    private const int DeepestInclude = 16;
    private const int DeepestRepeat = 32;

    private readonly DrawingOptions options;
    private readonly DiagnosticSink sink;
    private readonly CancellationToken cancellation;
    private readonly ValueReader values = new();
    private readonly DocumentBuilder document = new();
    private readonly ShapeReader shapes;
    private readonly PlacementReader placements;
    private readonly HeaderReader header;
    private readonly ParameterReader parameters;
    private readonly Stack<OpenBlock> blocks = new();
    private RepeatBlock? capture;
    private long repeatedStatements;
    private int includeDepth;

    public LayoutSession(DrawingOptions options, DiagnosticSink sink, CancellationToken cancellation)
    {
        this.options = options;
        this.sink = sink;
        this.cancellation = cancellation;
        var arguments = new ArgumentReader(values, document);
        shapes = new(arguments, values, document, options.Limits);
        placements = new(arguments, document);
        header = new(values, document);
        parameters = new(values, options.Parameters);
    }

    /// <summary>Reads the main file and builds the document.</summary>
    public LayoutDocument Read(Stream input, string name)
    {
        ReadFile(input, name);
        return Build(name);
    }

    /// <summary>Reads what follows the first line of a layout, and builds the document.</summary>
    public LayoutDocument ReadRest(LineSource lines, string name)
    {
        ReadLines(lines, name);
        return Build(name);
    }

    private LayoutDocument Build(string name)
    {
        parameters.RequireAllUsed(name);
        LayoutDocument result = document.Build(values.GridPicometres);
        if (values.RoundedCount > 0)
        {
            string lengths = CountText.Of(values.RoundedCount, "length was", "lengths were");
            sink.Note(LayoutCodes.Rounded, $"{lengths} rounded to the grid of {values.GridText}, the first here", values.FirstRounded);
        }

        return result;
    }

    private void ReadFile(Stream input, string name)
    {
        var lines = new LineSource(input, name, options.Limits);
        ReadLines(lines, name);
        if (lines.Number == 0)
        {
            throw new CompileException(LayoutCodes.NotALayout, "the file is empty", new SourcePlace(name), "a text layout starts with the line: layout 1");
        }
    }

    private void ReadLines(LineSource lines, string name)
    {
        int outerBlocks = blocks.Count;
        header.BeginFile(isMain: includeDepth == 0);
        while (lines.TryRead(out ReadOnlySpan<byte> text))
        {
            if (lines.Number % 4096 == 0)
            {
                cancellation.ThrowIfCancellationRequested();
            }

            var scanner = new LineScanner(text, name, lines.Number);
            if (lines.Number == 1)
            {
                HeaderReader.ReadFirstLine(ref scanner);
            }
            else
            {
                Execute(ref scanner);
            }
        }

        shapes.Finish();
        if (blocks.Count > outerBlocks || capture is not null)
        {
            OpenBlock open = capture?.Block ?? blocks.Peek();
            throw new CompileException(LayoutCodes.BlockStructure, $"this '{open.Word}' is never ended", open.Place, "add a line: end", open.SourceLine);
        }
    }

    private void Execute(ref LineScanner scanner)
    {
        if (scanner.AtEnd || (capture is not null && Capture(ref scanner)))
        {
            return;
        }

        if (scanner.Peek() == '(')
        {
            shapes.Continue(ref scanner);
            return;
        }

        int start = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: true);
        StatementWord statement = StatementWords.Find(word);
        if (statement is StatementWord.Hole or StatementWord.Part)
        {
            scanner.Position = start;
            shapes.Continue(ref scanner);
            return;
        }

        shapes.Finish();
        if (statement == StatementWord.None)
        {
            scanner.Position = start;
            throw StatementWords.Unknown(ref scanner, Encoding.UTF8.GetString(word));
        }

        Execute(statement, ref scanner, start);
    }

    private void Execute(StatementWord statement, ref LineScanner scanner, int start)
    {
        switch (statement)
        {
            case StatementWord.Place or StatementWord.Array:
                placements.Read(ref scanner, statement);
                break;
            case StatementWord.Let:
                parameters.Read(ref scanner);
                break;
            case StatementWord.Cell:
                BeginCell(ref scanner, start);
                break;
            case StatementWord.Repeat:
                BeginRepeat(ref scanner, start);
                break;
            case StatementWord.End:
                End(ref scanner, start);
                break;
            case StatementWord.Include:
                Include(ref scanner, start);
                break;
            case StatementWord.Unit or StatementWord.Grid or StatementWord.Drawing or StatementWord.Placed or StatementWord.Layer or StatementWord.Layout or StatementWord.Origin or StatementWord.Named:
                header.Read(ref scanner, statement, start, blocks.Count > 0 || parameters.HasAny);
                break;
            default:
                shapes.Read(ref scanner, statement, start);
                break;
        }
    }

    private void BeginCell(ref LineScanner scanner, int start)
    {
        if (blocks.TryPeek(out OpenBlock? open))
        {
            throw scanner.Fault(LayoutCodes.BlockStructure, $"a cell cannot be defined inside '{open.Word}'", start, "define it at the top level");
        }

        _ = scanner.AtEnd;
        int position = scanner.Position;
        string name = scanner.TakeName("the name of the cell");
        document.BeginCell(scanner, name, position);
        scanner.ExpectEnd("the name of the cell");
        blocks.Push(OpenBlock.At(scanner, "cell", start));
        values.Scope = new Scope(values.Scope);
    }

    private void BeginRepeat(ref LineScanner scanner, int start)
    {
        int count = values.TakeCount(ref scanner, "the number of repeats", 0);
        string? variable = null;
        if (!scanner.AtEnd)
        {
            if (!scanner.TakeWord(withHyphens: true).SequenceEqual("as"u8))
            {
                throw scanner.Unexpected("'as' and a name for the running number, or the end of the line");
            }

            variable = ParameterReader.TakeNewName(ref scanner);
            scanner.ExpectEnd("the name of the running number");
        }

        capture = new RepeatBlock(OpenBlock.At(scanner, "repeat", start), count, variable);
    }

    /// <summary>Keeps a line of the body of <c>repeat</c>; false for the <c>end</c> that closes it.</summary>
    private bool Capture(ref LineScanner scanner)
    {
        int start = scanner.Position;
        StatementWord statement = StatementWords.Find(scanner.TakeWord(withHyphens: true));
        scanner.Position = start;
        if (statement is StatementWord.Cell or StatementWord.Include)
        {
            string message = statement == StatementWord.Cell ? "a cell cannot be defined" : "a file cannot be included";
            throw scanner.Fault(LayoutCodes.BlockStructure, message + " inside 'repeat'", start, "move it to the top level");
        }

        if (statement == StatementWord.Repeat && capture!.InnerBlocks == DeepestRepeat - 1)
        {
            throw scanner.Fault(LayoutCodes.TooMuch, $"repeats nest more than {DeepestRepeat} deep", start, "draw with fewer levels");
        }

        return capture!.TryKeep(scanner, statement);
    }

    private void End(ref LineScanner scanner, int start)
    {
        scanner.ExpectEnd("'end'");
        if (capture is not null)
        {
            RepeatBlock body = capture;
            capture = null;
            Repeat(body, scanner.File);
        }
        else if (blocks.TryPeek(out OpenBlock? open) && open.Word == "cell")
        {
            blocks.Pop();
            values.Scope = values.Scope.Outer!;
            document.EndCell();
        }
        else
        {
            throw scanner.Fault(LayoutCodes.BlockStructure, "this 'end' closes nothing", start, "remove it, or look for a 'cell' or 'repeat' that is missing above");
        }
    }

    private void Repeat(RepeatBlock body, string file)
    {
        Scope outer = values.Scope;
        blocks.Push(body.Block);
        repeatedStatements += body.Count * body.Weight;
        if (repeatedStatements > options.Limits[WorkKind.Expansion])
        {
            throw new CompileException(
                LayoutCodes.TooMuch,
                $"more than {options.Limits[WorkKind.Expansion]} statements are repeated",
                body.Block.Place,
                "make it a cell and place it with: array NAME at (0, 0) columns ... column-step ...; or raise 'limits: expansion' in the job",
                body.Block.SourceLine);
        }

        // An empty body is not run: it would take time, and draw nothing.
        for (int i = 0; i < body.Count && body.Lines.Count > 0; i++)
        {
            cancellation.ThrowIfCancellationRequested();
            values.Scope = new Scope(outer);
            if (body.Variable is not null)
            {
                values.Scope.TryDefine(body.Variable, new Amount(i, 0));
            }

            foreach (KeptLine line in body.Lines)
            {
                var scanner = new LineScanner(line.Text, file, line.Number);
                Execute(ref scanner);
            }

            shapes.Finish();
        }

        blocks.Pop();
        values.Scope = outer;
    }

    private void Include(ref LineScanner scanner, int start)
    {
        _ = scanner.AtEnd;
        int position = scanner.Position;
        string name = scanner.TakeQuoted("the name of a file in quotes");
        scanner.ExpectEnd("the name of the file");
        if (blocks.Count > 0)
        {
            throw scanner.Fault(LayoutCodes.BlockStructure, "a file cannot be included inside a cell", start, "move it to the top level");
        }

        if (includeDepth == DeepestInclude)
        {
            throw scanner.Fault(LayoutCodes.TooMuch, $"files include each other more than {DeepestInclude} deep", start, "does a file include itself?");
        }

        if (options.OpenInclude is null)
        {
            throw scanner.Fault(LayoutCodes.Include, "this input cannot include other files", position, "read the drawing from a file instead of a stream");
        }

        IncludedFile file = options.OpenInclude(name, scanner.File)
            ?? throw scanner.Fault(LayoutCodes.Include, $"there is no file '{name}' to include", position, "the name counts from the folder of this file");
        long unit = values.DefaultUnitPicometres;
        includeDepth++;
        using (file.Content)
        {
            ReadFile(file.Content, file.Name);
        }

        includeDepth--;
        values.DefaultUnitPicometres = unit;
        header.EndHead();
    }
}
