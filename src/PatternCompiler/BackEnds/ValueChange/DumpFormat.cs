using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Units;

namespace PatternCompiler.BackEnds.ValueChange;

/// <summary>What stands before the first time of a dump.</summary>
internal static class DumpFormat
{
    public const byte X = (byte)'X';
    public const byte Y = (byte)'Y';
    public const byte Blank = (byte)'B';
    public const byte Beam = (byte)'E';
    public const byte ScanEnable = (byte)'S';
    public const byte Wait = (byte)'W';
    public const byte Figure = (byte)'F';

    /// <summary>Bits of the figure's number.</summary>
    public const int FigureBits = 64;

    /// <summary>The declarations.</summary>
    public static string Header(RecordsHeader header, DumpTime time)
    {
        Dac dac = header.Dac;
        int last = dac.Bits - 1;
        return $"""
            $version PatternCompiler exposure 1 $end
            $comment
              x, y: codes of the converters, 0 is the lowest voltage: {NumberText.Format(dac.MinimumVolts)} V + code x {NumberText.Format(dac.LsbVolts)} V
              blank: the line, {(header.BlankLevel == BlankLevel.Low ? "low" : "high")} with the beam off{(header.BlankLevel == BlankLevel.NoBlanker ? "; this machine has no blanker" : "")}
              clock {NumberText.Format(header.ClockHertz)} Hz; {time}
            $end
            $timescale {time.Scale} $end
            $scope module exposure $end
            $var wire {dac.Bits} X x [{last}:0] $end
            $var wire {dac.Bits} Y y [{last}:0] $end
            $var wire 1 B blank $end
            $var wire 1 E beam $end
            $var wire 1 S scan_enable $end
            $var wire 1 W wait $end
            $var reg {FigureBits} F figure [{FigureBits - 1}:0] $end
            $upscope $end
            $enddefinitions $end

            """.ReplaceLineEndings("\n");
    }
}
