using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>
/// Writes the exposure as a motion program in the words of EIA RS-274-D as the NIST RS274NGC interpreter, version 3,
/// defines them (T. Kramer, F. Proctor, E. Messina, NISTIR 6556, 2000): G0 G1 G4 G21 G90 G93 M2 M3 M5 and X Y F P, with M3
/// for beam on and M5 for beam off; a message says which level of the blank line that has to be. Millimetres from the middle of the range; a line
/// is one move at constant speed. Controllers that differ have a <see cref="MotionDialect"/>. The beam is off in every rapid move.
/// </summary>
/// <remarks>
/// A line of n points exposes n places, its move runs from the first to the last of them: the same charge over a length
/// shorter by one step. The number of points stands in a comment, so that nothing is lost.
/// </remarks>
internal sealed class MotionWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private static readonly string PlainForm = $"0.{new string('#', 330)}";

    private const int DecimalsOfMilliseconds = Points.TickScale.Decimals - 3;

    private readonly Utf8Output output;
    private readonly MotionDialect dialect;
    private readonly DwellRounding rounding;
    private readonly DiagnosticSink? sink;
    private MotionScale scale = null!;
    private (int X, int Y)? place;
    private bool isOn;

    /// <summary>Writes to a stream, which stays open.</summary>
    /// <param name="target">Takes the bytes.</param>
    /// <param name="dialect">What the controller's words mean; null for those of the published list.</param>
    /// <param name="sink">Is told what rounded dwells do to doses.</param>
    public MotionWriter(Stream target, MotionDialect? dialect = null, DiagnosticSink? sink = null)
    {
        output = new Utf8Output(target);
        this.dialect = dialect ?? new MotionDialect();
        this.sink = sink;
        rounding = new DwellRounding(this.dialect.DwellStepSeconds);
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        scale = new MotionScale(header, dialect);
        output.Raw("%\nG21 G90 G93\n"u8);
        Line(dialect.BeamOff);
        if (MotionLevel.MessageOf(header.BlankLevel, dialect.BeamOff) is string message)
        {
            Line(message);
        }

        Line(MotionNotes.Scale(header, dialect));
        foreach (string note in MotionNotes.All(dialect))
        {
            Line(note);
        }
    }

    /// <inheritdoc/>
    public void Write(ReadOnlySpan<DeflectionRecord> items)
    {
        foreach (ref readonly DeflectionRecord record in items)
        {
            switch (record.Kind)
            {
                case RecordKind.Jump:
                    Beam(on: false);
                    Rapid(record.X, record.Y);
                    Dwell(record.Ticks);
                    output.EndLine();
                    break;
                case RecordKind.Dot:
                    Reach(record.X, record.Y, isExposing: true);
                    Dwell(record.Ticks);
                    output.EndLine();
                    break;
                case RecordKind.Line:
                    Line(record);
                    break;
                case RecordKind.Wait:
                    Beam(on: false);
                    Dwell(record.Ticks);
                    output.EndLine();
                    break;
                case RecordKind.Marker:
                    output.Raw("(figure"u8);
                    output.Integer(record.Ticks);
                    output.Raw(")\n"u8);
                    break;
                default:
                    throw new ArgumentOutOfRangeException(nameof(items), record.Kind, "Unknown kind of record.");
            }
        }
    }

    /// <inheritdoc/>
    public void End()
    {
        Beam(on: false);
        if (rounding.Summary() is string summary)
        {
            Line($"{MotionNotes.DoseStart}{summary})");
            sink?.Warn(BackEndCodes.DwellsRounded, summary, fix: "longer dwells change less: a weaker beam, or points farther apart");
        }

        output.Raw("M2\n%\n"u8);
        output.Flush();
    }

    private void Line(string text)
    {
        output.Text(text);
        output.EndLine();
    }

    private void Line(in DeflectionRecord line)
    {
        bool stays = line.Points == 1 || (line.X, line.Y) == (line.EndX, line.EndY);
        Reach(line.X, line.Y, isExposing: stays || line.Ticks > 0);
        if (stays)
        {
            Dwell(line.Ticks);
        }
        else if (line.Ticks == 0)
        {
            // A move of no time has no feed and no dose.
            output.Raw("G0"u8);
            Position(line.EndX, line.EndY);
        }
        else
        {
            output.Raw("G1"u8);
            Position(line.EndX, line.EndY);
            output.Raw(" F"u8);
            output.Text(Plain(scale.FeedOf(line.Ticks)));
        }

        output.Raw(" (points"u8);
        output.Integer(line.Points);
        output.Raw(")\n"u8);
    }

    private void Reach(int x, int y, bool isExposing)
    {
        if (place != (x, y))
        {
            Beam(on: false);
            Rapid(x, y);
        }

        Beam(isExposing);
    }

    private void Rapid(int x, int y)
    {
        output.Raw("G0"u8);
        Position(x, y);
        output.EndLine();
    }

    private void Position(int x, int y)
    {
        output.Raw(" X"u8);
        output.FixedBare(scale.X.ScaledOf(x), scale.X.Decimals);
        output.Raw(" Y"u8);
        output.FixedBare(scale.Y.ScaledOf(y), scale.Y.Decimals);
        place = (x, y);
    }

    private void Dwell(long ticks)
    {
        if (!scale.Time.TryPicoseconds(ticks, out long picoseconds))
        {
            throw new CompileException(BackEndCodes.NotRepresentable, "a record lasts longer than 100 days");
        }

        output.Raw(dialect.DwellWord == DwellWord.SecondsS ? "G4 S"u8 : "G4 P"u8);
        output.FixedBare(rounding.Of(picoseconds, isOn), dialect.DwellWord == DwellWord.MillisecondsP ? DecimalsOfMilliseconds : Points.TickScale.Decimals);
    }

    // RS274NGC knows no exponents. Fifteen digits give back every number of ticks below 10^14.
    private static string Plain(double value) => value.ToString(PlainForm, CultureInfo.InvariantCulture);

    private void Beam(bool on)
    {
        if (on != isOn)
        {
            Line(on ? dialect.BeamOn : dialect.BeamOff);
            isOn = on;
        }
    }
}
