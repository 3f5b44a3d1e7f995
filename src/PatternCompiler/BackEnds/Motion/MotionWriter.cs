using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model;
using PatternCompiler.Model.Carriers;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>
/// Writes the exposure as a motion program in the words of EIA RS-274-D as the NIST RS274NGC interpreter, version 3,
/// defines them (T. Kramer, F. Proctor, E. Messina, NISTIR 6556, 2000): G0 G1 G4 G21 G90 G93 M2 M3 M5 and X Y F P, with M3
/// for beam on and M5 for beam off; a message says which level of the blank line that has to be. Millimetres from the middle of the range; a line is one move at constant speed.
/// </summary>
/// <remarks>
/// A line of n points exposes n places, its move runs from the first to the last of them: the same charge over a length
/// shorter by one step. The number of points stands in a comment, so that nothing is lost.
/// </remarks>
internal sealed class MotionWriter : IDocumentSink<RecordsHeader, DeflectionRecord>
{
    private static readonly string PlainForm = $"0.{new string('#', 330)}";

    private readonly Utf8Output output;
    private MotionScale scale = null!;
    private (int X, int Y)? place;
    private bool isOn;

    /// <summary>Writes to a stream, which stays open.</summary>
    public MotionWriter(Stream target)
    {
        output = new Utf8Output(target);
    }

    /// <inheritdoc/>
    public void Begin(RecordsHeader header)
    {
        scale = new MotionScale(header);
        output.Raw("%\nG21 G90 G93\nM5\n"u8);
        if (MotionLevel.MessageOf(header.BlankLevel) is string message)
        {
            output.Text(message);
            output.EndLine();
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
                    Reach(record.X, record.Y);
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
        output.Raw("M2\n%\n"u8);
        output.Flush();
    }

    private void Line(in DeflectionRecord line)
    {
        Reach(line.X, line.Y);
        bool stays = line.Points == 1 || (line.X, line.Y) == (line.EndX, line.EndY);
        if (stays)
        {
            Dwell(line.Ticks);
        }
        else
        {
            // A move of no time has no feed; it is as fast as the controller can.
            output.Raw(line.Ticks == 0 ? "G0"u8 : "G1"u8);
            Position(line.EndX, line.EndY);
            if (line.Ticks > 0)
            {
                output.Raw(" F"u8);
                output.Text(Plain(scale.FeedOf(line.Ticks)));
            }
        }

        output.Raw(" (points"u8);
        output.Integer(line.Points);
        output.Raw(")\n"u8);
    }

    private void Reach(int x, int y)
    {
        if (place != (x, y))
        {
            Rapid(x, y);
        }

        Beam(on: true);
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

        output.Raw("G4 P"u8);
        output.FixedBare(picoseconds, Points.TickScale.Decimals);
    }

    // RS274NGC knows no exponents. Fifteen digits give back every number of ticks below 10^14.
    private static string Plain(double value) => value.ToString(PlainForm, CultureInfo.InvariantCulture);

    private void Beam(bool on)
    {
        if (on != isOn)
        {
            output.Raw(on ? "M3\n"u8 : "M5\n"u8);
            isOn = on;
        }
    }
}
