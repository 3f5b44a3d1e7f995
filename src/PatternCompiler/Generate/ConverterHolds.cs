using System.Collections.Immutable;
using System.Globalization;
using System.Text;
using PatternCompiler.Instrument;
using PatternCompiler.Model;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.Generate;

/// <summary>
/// Holds for a voltmeter, with the beam off: each output at both sides of its large carries, at its ends and at some codes before them,
/// where amplifiers clip, each with the other output at both of its ends. And the table that is filled in with what the meter shows.
/// </summary>
internal static class ConverterHolds
{
    /// <summary>Carries of so many of the upper bits are read unless another number is asked for.</summary>
    public const int UsualCarryBits = 6;

    // Segments between carries that are divided, from each end, and into how many parts.
    private const int DividedSegments = 2;
    private const int Parts = 4;

    // A record's ticks stay within what every output format holds.
    private const long MostTicks = 1L << 30;

    /// <summary>The holds in the order in which they are made.</summary>
    /// <param name="dac">The converters.</param>
    /// <param name="carryBits">Carries of so many of the upper bits; at most as many as the converters have but one.</param>
    public static ImmutableArray<ConverterHold> Plan(Dac dac, int carryBits)
    {
        int last = dac.CodeCount - 1;
        int[] codes = Codes(dac, Math.Min(carryBits, dac.Bits - 1));
        return
        [
            .. from axis in "xy"
               from other in (int[])[0, last]
               from code in codes
               select new ConverterHold(axis, code, other),
        ];
    }

    /// <summary>Pushes the records of the holds.</summary>
    public static void Write(RecordsHeader header, IReadOnlyList<ConverterHold> holds, long ticksPerHold, IDocumentSink<RecordsHeader, DeflectionRecord> output)
    {
        output.Begin(header);
        foreach (ConverterHold hold in holds)
        {
            (int x, int y) = hold.Axis == 'x' ? (hold.Code, hold.Other) : (hold.Other, hold.Code);
            long left = ticksPerHold, first = Math.Min(left, MostTicks);
            output.Write([DeflectionRecord.Jump(x, y, first)]);
            for (left -= first; left > 0; left -= MostTicks)
            {
                output.Write([DeflectionRecord.Wait(Math.Min(left, MostTicks))]);
            }
        }

        output.End();
    }

    /// <summary>The table, with a line for each hold: when it begins, and room for the voltage.</summary>
    public static string Table(IReadOnlyList<ConverterHold> holds, double secondsPerHold)
    {
        var text = new StringBuilder("# a voltmeter's readings at the outputs, for 'patternc fit converter'; 'from' is when the hold of a line begins, after the stream's start\n");
        text.Append("axis, code, other, volts [V], from [s]\n");
        for (int i = 0; i < holds.Count; i++)
        {
            text.Append(CultureInfo.InvariantCulture, $"{holds[i].Axis}, {holds[i].Code}, {holds[i].Other}, , {NumberText.Format(Math.Round(i * secondsPerHold, 3, MidpointRounding.AwayFromZero))}\n");
        }

        return text.ToString();
    }

    private static int[] Codes(Dac dac, int carryBits)
    {
        int segment = dac.CodeCount >> carryBits, last = dac.CodeCount - 1;
        var codes = new SortedSet<int> { 0, last };
        for (int carry = segment; carry < dac.CodeCount; carry += segment)
        {
            codes.Add(carry - 1);
            codes.Add(carry);
        }

        for (int part = 1; part < DividedSegments * Parts; part++)
        {
            int inward = (int)((long)segment * part / Parts);
            if (inward < dac.CodeCount / 2)
            {
                codes.Add(inward);
                codes.Add(last - inward);
            }
        }

        return [.. codes];
    }
}

/// <summary>One hold: an output at a code, the other at another.</summary>
/// <param name="Axis">'x' or 'y', the output that is read.</param>
/// <param name="Code">Its code.</param>
/// <param name="Other">The other output's code.</param>
internal readonly record struct ConverterHold(char Axis, int Code, int Other);
