using System.Diagnostics.CodeAnalysis;
using System.Text;
using PatternCompiler.BackEnds.Points;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>
/// Reads a motion program that <see cref="MotionWriter"/> made back into records. It says nothing about the converter,
/// so the machine has to be given. Any other word than those is refused.
/// </summary>
internal sealed class MotionReader
{
    private const string PointsComment = "(points ";
    private const string FigureComment = "(figure ";

    private const int DecimalsOfMilliseconds = TickScale.Decimals - 3;

    private readonly Utf8LineReader reader;
    private readonly MotionDialect dialect;
    private readonly MotionScale scale;
    private readonly SinkBatch<RecordsHeader, DeflectionRecord> batch;
    private (int X, int Y) place;
    private bool hasMoved;
    private bool isOn;
    private bool hasLevel;

    private MotionReader(Utf8LineReader reader, RecordsHeader header, MotionDialect dialect, SinkBatch<RecordsHeader, DeflectionRecord> batch)
    {
        this.reader = reader;
        this.batch = batch;
        this.dialect = dialect;
        scale = new MotionScale(header, dialect);
    }

    /// <summary>Reads everything into a sink.</summary>
    /// <param name="source">Where it comes from; read to its end, not closed.</param>
    /// <param name="name">Name for messages, "-" for standard input.</param>
    /// <param name="header">The machine for which the program was made.</param>
    /// <param name="sink">Takes the records.</param>
    /// <param name="cancellation">Ends the reading early.</param>
    /// <param name="dialect">What the controller's words mean; null for those of the published list.</param>
    /// <exception cref="CompileException">The program is none of these, not of this machine, or cut short.</exception>
    public static void Read(
        Stream source,
        string name,
        RecordsHeader header,
        IDocumentSink<RecordsHeader, DeflectionRecord> sink,
        CancellationToken cancellation,
        MotionDialect? dialect = null)
    {
        var lines = new Utf8LineReader(new CarrierInput(source), name);
        var motion = new MotionReader(lines, header, dialect ?? new MotionDialect(), new SinkBatch<RecordsHeader, DeflectionRecord>(sink, cancellation));
        motion.Read(header, sink);
    }

    private void Read(RecordsHeader header, IDocumentSink<RecordsHeader, DeflectionRecord> sink)
    {
        foreach (string wanted in (ReadOnlySpan<string>)["%", "G21 G90 G93", dialect.BeamOff])
        {
            if (!reader.TryRead(out ReadOnlySpan<byte> start) || Encoding.UTF8.GetString(start) != wanted)
            {
                Fail(BackEndCodes.NotThisForm, $"expected {wanted}", "make the program with patternc emit");
            }
        }

        sink.Begin(header);
        while (reader.TryRead(out ReadOnlySpan<byte> line))
        {
            string text = Encoding.UTF8.GetString(line);
            if (!hasLevel && text.StartsWith(MotionLevel.Start, StringComparison.Ordinal))
            {
                CheckLevel(text, header.BlankLevel);
                hasLevel = true;
                continue;
            }

            if (text.StartsWith(MotionNotes.ScaleStart, StringComparison.Ordinal))
            {
                CheckScale(text, header);
                continue;
            }

            if (text.StartsWith(MotionNotes.NoteStart, StringComparison.Ordinal) || text.StartsWith(MotionNotes.DoseStart, StringComparison.Ordinal))
            {
                continue;
            }

            if (text == "M2")
            {
                if (isOn)
                {
                    Fail(BackEndCodes.Malformed, "the program ends with the beam on", "emit it again");
                }

                if (!reader.TryRead(out ReadOnlySpan<byte> last) || !last.SequenceEqual("%"u8))
                {
                    break;
                }

                if (reader.TryRead(out _))
                {
                    Fail(BackEndCodes.AfterEnd, "something follows the end of the program", "give one program at a time");
                }

                batch.End();
                return;
            }

            ReadLine(text);
        }

        Fail(BackEndCodes.Truncated, "the program stops before its end", "emit it again; the stage or copy that wrote it did not finish");
    }

    private void CheckScale(string line, RecordsHeader header)
    {
        if (line != MotionNotes.Scale(header, dialect))
        {
            Fail(BackEndCodes.NotOfThisMachine, $"the program's scale is {QuotedText.Quote(line)}, this machine's is {QuotedText.Quote(MotionNotes.Scale(header, dialect))}", "name the machine file with which the program was made");
        }
    }

    private void CheckLevel(string message, BlankLevel wanted)
    {
        if (!MotionLevel.TryLevel(message, dialect.BeamOff, out BlankLevel stated))
        {
            Malformed(message);
        }

        if (wanted != BlankLevel.NotStated && stated != wanted)
        {
            throw BlankLine.Mismatch(new SourcePlace(reader.Name, reader.LineNumber), wanted, stated, "the program is");
        }
    }

    private void ReadLine(string line)
    {
        if (line.StartsWith(FigureComment, StringComparison.Ordinal))
        {
            batch.Add(DeflectionRecord.Marker(CommentNumber(line, line, FigureComment)));
            return;
        }

        if (line == dialect.BeamOn || line == dialect.BeamOff)
        {
            isOn = line == dialect.BeamOn;
            return;
        }

        int comment = line.IndexOf(" (", StringComparison.Ordinal);
        int points = comment < 0 ? 0 : (int)Math.Min(CommentNumber(line[(comment + 1)..], line, PointsComment), int.MaxValue);
        string[] words = (comment < 0 ? line : line[..comment]).Split(' ');
        switch (words)
        {
            case ["G0", ['X', ..], ['Y', ..]] when points == 0:
                place = Position(words, line);
                hasMoved = true;
                break;
            case ["G0", ['X', ..], ['Y', ..]]:
                AddLine(Position(words, line), points, 0);
                break;
            case ["G1", ['X', ..], ['Y', ..], ['F', ..]] when isOn && points > 0 && NumberText.TryParseReal(words[3].AsSpan(1), out double feed) && feed > 0:
                AddLine(Position(words, line), points, scale.TicksOf(feed));
                break;
            case ["G4", [char word, ..]] when word == (dialect.DwellWord == DwellWord.SecondsS ? 'S' : 'P'):
                Dwell(words[1], points, line);
                break;
            default:
                Malformed(line);
                break;
        }
    }

    private void Dwell(string word, int points, string line)
    {
        int decimals = dialect.DwellWord == DwellWord.MillisecondsP ? DecimalsOfMilliseconds : TickScale.Decimals;
        if (!FixedPointText.TryParse(Encoding.UTF8.GetBytes(word[1..]), decimals, out long picoseconds) || (points > 0 && !isOn))
        {
            Malformed(line);
        }

        if (!scale.TryTicks(picoseconds, out long ticks))
        {
            WrongMachine();
        }

        if (points > 0)
        {
            AddLine(place, points, ticks);
        }
        else if (isOn)
        {
            batch.Add(DeflectionRecord.Dot(place.X, place.Y, ticks));
        }
        else
        {
            batch.Add(hasMoved ? DeflectionRecord.Jump(place.X, place.Y, ticks) : DeflectionRecord.Wait(ticks));
        }

        hasMoved = false;
    }

    private void AddLine((int X, int Y) end, int points, long ticks)
    {
        batch.Add(DeflectionRecord.Line(place.X, place.Y, end.X, end.Y, points, ticks));
        place = end;
        hasMoved = false;
    }

    private (int X, int Y) Position(string[] words, string line)
    {
        if (!FixedPointText.TryParse(Encoding.UTF8.GetBytes(words[1][1..]), scale.X.Decimals, out long x) ||
            !FixedPointText.TryParse(Encoding.UTF8.GetBytes(words[2][1..]), scale.Y.Decimals, out long y))
        {
            Malformed(line);
            return default;
        }

        if (!scale.X.TryCode(x, out int codeX) || !scale.Y.TryCode(y, out int codeY))
        {
            WrongMachine();
            return default;
        }

        return (codeX, codeY);
    }

    private long CommentNumber(string comment, string line, string start)
    {
        if (!comment.StartsWith(start, StringComparison.Ordinal) || comment[^1] != ')' ||
            !NumberText.TryParseInteger(comment.AsSpan(start.Length..^1), out long number) || number < 0)
        {
            Malformed(line);
            return 0;
        }

        return number;
    }

    [DoesNotReturn]
    private void Malformed(string line) => Fail(
        BackEndCodes.Malformed, $"expected a block that this program writes, found {QuotedText.Quote(line)}", "emit the program again");

    [DoesNotReturn]
    private void WrongMachine() => Fail(
        BackEndCodes.NotOfThisMachine,
        "a position is no code of the converter, or a time no whole number of ticks",
        "name the machine file with which the program was made");

    [DoesNotReturn]
    private void Fail(DiagnosticCode code, string message, string fix) =>
        throw new CompileException(code, message, new SourcePlace(reader.Name, reader.LineNumber), fix);
}
