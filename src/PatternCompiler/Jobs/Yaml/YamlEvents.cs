using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using YamlDotNet.Core;
using YamlDotNet.Core.Events;

namespace PatternCompiler.Jobs.Yaml;

/// <summary>
/// The events of a YAML text, as the library finds them. Whatever the library throws, and whatever it reads otherwise than
/// YAML says, ends here, as an error with its place: nothing behind this class need know which library it is.
/// </summary>
internal sealed class YamlEvents
{
    /// <summary>Characters scanned again, in all, before lines that stand too far left are refused.</summary>
    private const long MostRescanned = 1 << 26;

    private readonly YamlSource source;
    private readonly FlowIndentation indentation;
    private readonly Stack<ParsingEvent> open = new();
    private Scanner scanner;
    private Parser parser;
    private ParsingEvent? next;
    private int taken;
    private long rescanned;

    /// <summary>Refuses what no YAML text holds, and begins.</summary>
    /// <exception cref="CompileException">The text holds a character that YAML does not allow or that its versions read differently.</exception>
    public YamlEvents(YamlSource source)
    {
        YamlCharacters.Require(source);
        this.source = source;
        indentation = new FlowIndentation(source.Text);
        (scanner, parser) = Begin();
    }

    /// <summary>The event that comes next.</summary>
    /// <exception cref="CompileException">What comes next is no YAML.</exception>
    public ParsingEvent Next => next ??= Advance();

    /// <summary>Takes the next event.</summary>
    /// <exception cref="CompileException">What comes next is no YAML.</exception>
    public ParsingEvent Take()
    {
        ParsingEvent result = Next;
        next = null;
        taken++;
        if (result is SequenceStart or MappingStart)
        {
            open.Push(result);
        }
        else if (result is SequenceEnd or MappingEnd)
        {
            open.Pop();
        }

        return result;
    }

    /// <summary>Line and column of an event, from 1.</summary>
    public (int Line, int Column) PlaceOf(ParsingEvent happening) => indentation.PlaceInText(happening.Start);

    /// <summary>An error at an event.</summary>
    public CompileException Fault(ParsingEvent happening, string message, string? fix = null) =>
        Fault(PlaceOf(happening), message, fix, null);

    private (Scanner Scanner, Parser Parser) Begin()
    {
        var begun = new Scanner(new StringReader(indentation.Text));
        return (begun, new Parser(begun));
    }

    private ParsingEvent Advance()
    {
        while (true)
        {
            try
            {
                return parser.MoveNext() ? parser.Current! : throw new EndOfStreamException("the file ends too early");
            }
            catch (InvalidOperationException fault)
            {
                // The library refuses a plain word between brackets that stands no further right than the key of its
                // block. Between brackets YAML gives the place of a line no meaning, so the lines are moved to the right.
                Mark place = scanner.CurrentPosition;
                rescanned += source.Text.Length;
                if (rescanned > MostRescanned || !indentation.TryMoveRight(place))
                {
                    throw SyntaxFault(place, fault);
                }

                Replay();
            }
            catch (YamlException fault)
            {
                throw SyntaxFault(fault.Start, fault);
            }
            catch (Exception fault) when (fault is not CompileException and not OutOfMemoryException)
            {
                throw SyntaxFault(scanner.CurrentPosition, fault);
            }
        }
    }

    /// <summary>Begins again with moved lines, up to where the events had come: those are the same as before.</summary>
    private void Replay()
    {
        (scanner, parser) = Begin();
        for (int i = 0; i < taken; i++)
        {
            parser.MoveNext();
        }
    }

    private CompileException SyntaxFault(Mark mark, Exception cause)
    {
        string message = cause is YamlException && cause.Message.TrimEnd('.') is [var first, .. var rest] ? char.ToLowerInvariant(first) + rest : "this is not YAML";
        (int Line, int Column) place = indentation.PlaceInText(mark);
        if (open.TryPeek(out ParsingEvent? collection) && collection is SequenceStart { Style: SequenceStyle.Flow } or MappingStart { Style: MappingStyle.Flow })
        {
            (char opening, char closing) = collection is SequenceStart ? ('[', ']') : ('{', '}');
            (int line, int column) = PlaceOf(collection);
            return Fault(
                place,
                $"the '{opening}' of line {line}, column {column} is not closed before this: {message}",
                $"close it with '{closing}', or put a comma between its values",
                cause);
        }

        return Fault(place, message, null, cause);
    }

    private CompileException Fault((int Line, int Column) place, string message, string? fix, Exception? cause) => new(
        new Diagnostic(
            JobCodes.YamlSyntax, Severity.Error, message, new SourcePlace(source.File, place.Line, place.Column), fix, source.LineText(place.Line)),
        cause);
}
