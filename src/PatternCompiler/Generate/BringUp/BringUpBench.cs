using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Model.Records;
using PatternCompiler.Passes.Scale;

namespace PatternCompiler.Generate.BringUp;

/// <summary>What a machine can be asked for while it is brought up: how fast its records may come, over which codes its outputs may move, what they give.</summary>
internal sealed class BringUpBench
{
    /// <summary>Beneath so many steps nothing could be told on a scope.</summary>
    private const int FewestCodes = 64;

    // A record's ticks stay within what every output format holds.
    private const long MostTicks = 1L << 30;

    // Twice the rate that is needed: the rule of the stream's page.
    private const double LinkMargin = 2;

    private readonly DacMapping mapping;

    /// <summary>Looks at a machine.</summary>
    /// <param name="machine">The machine.</param>
    /// <param name="profile">What its controller takes.</param>
    /// <param name="lineCoulombsPerMetre">Dose of what is written on scrap.</param>
    /// <exception cref="CompileException">Its outputs may hardly move.</exception>
    public BringUpBench(Machine machine, StreamProfile profile, double lineCoulombsPerMetre)
    {
        Machine = machine;
        LineCoulombsPerMetre = lineCoulombsPerMetre;
        mapping = new DacMapping(machine.Dac, machine.Deflection);
        X = new CodeSpan(mapping.UsableX.Lowest, mapping.UsableX.Highest);
        Y = new CodeSpan(mapping.UsableY.Lowest, mapping.UsableY.Highest);
        if (Math.Min(X.Steps, Y.Steps) < FewestCodes)
        {
            throw new CompileException(
                GenerateCodes.TooFewCodes,
                $"the outputs may move over {Math.Min(X.Steps, Y.Steps) + 1} codes, a bring-up needs more than {FewestCodes}",
                fix: "correct 'usable_x' and 'usable_y' in the machine file");
        }

        int recordBytes = StreamFormat.PointWords * ExposureStreamOptions.For(machine.Dac, profile).WordBytes;
        RecordsPerBlock = StreamFormat.LargestPayload / recordBytes;
        Blocks = machine.Link.Blocks > 0 ? machine.Link.Blocks : Math.Max(1, machine.Link.BufferBytes / StreamFormat.LargestBlock);
        double travel = (RecordsPerBlock * recordBytes + StreamFormat.LargestBlock - StreamFormat.LargestPayload) / machine.Link.BytesPerSecond;
        double blockSeconds = LinkMargin * Math.Max(travel, (machine.Link.LatencySeconds + travel) / Math.Max(1, Blocks - 1));
        PaceTicks = Math.Max(machine.Clock.MinimumDwellTicks, (long)Math.Ceiling(blockSeconds / RecordsPerBlock * machine.Clock.Hertz));
    }

    /// <summary>The machine.</summary>
    public Machine Machine { get; }

    /// <summary>Dose of what is written on scrap.</summary>
    public double LineCoulombsPerMetre { get; }

    /// <summary>Codes that the X output may be sent to.</summary>
    public CodeSpan X { get; }

    /// <summary>Codes that the Y output may be sent to.</summary>
    public CodeSpan Y { get; }

    /// <summary>Ticks of the shortest record: what the link can follow at half of its rate, and no dwell below the controller's shortest.</summary>
    public long PaceTicks { get; }

    /// <summary>Jumps or dots in a block of a stream.</summary>
    public int RecordsPerBlock { get; }

    /// <summary>Blocks that the controller holds.</summary>
    public long Blocks { get; }

    /// <summary>Signed distances on the sample of a code of the X and of the Y output, each along the axis that it drives.</summary>
    public (double X, double Y) NanometresPerCode => (mapping.NanometresPerCodeX, mapping.NanometresPerCodeY);

    /// <summary>Voltage of a step of a code.</summary>
    public double StepVolts => Machine.Dac.LsbVolts;

    /// <summary>What the outputs give at two codes, nonlinearity and crosstalk of the machine file among it.</summary>
    public (double X, double Y) VoltsAt(int x, int y) => mapping.VoltsAt(x, y);

    /// <summary>Whole ticks nearest to a time, at least those of the shortest record.</summary>
    public long Ticks(double seconds) => Math.Max(PaceTicks, (long)Math.Round(seconds * Machine.Clock.Hertz));

    /// <summary>Time of some ticks.</summary>
    public double Seconds(long ticks) => ticks / Machine.Clock.Hertz;

    /// <summary>How often something of so many ticks happens in a second.</summary>
    public double Hertz(long ticks) => Machine.Clock.Hertz / ticks;

    /// <summary>A voltage as a voltmeter shows it at the X output, the Y output in its middle.</summary>
    public string VoltsX(int code) => BringUpText.Volts(VoltsAt(code, Y.Middle).X);

    /// <summary>The same at the Y output, the X output in its middle.</summary>
    public string VoltsY(int code) => BringUpText.Volts(VoltsAt(X.Middle, code).Y);

    /// <summary>Stands at two codes with the beam off.</summary>
    public static IEnumerable<DeflectionRecord> Hold(int x, int y, long ticks)
    {
        yield return DeflectionRecord.Jump(x, y, Math.Min(ticks, MostTicks));
        foreach (DeflectionRecord wait in Wait(ticks - MostTicks))
        {
            yield return wait;
        }
    }

    /// <summary>Stays where it is with the beam off; nothing where there is nothing to wait.</summary>
    public static IEnumerable<DeflectionRecord> Wait(long ticks)
    {
        for (long left = ticks; left > 0; left -= MostTicks)
        {
            yield return DeflectionRecord.Wait(Math.Min(left, MostTicks));
        }
    }

    /// <summary>The fewest ticks, and not below those asked for, that dots of allowed dwells can make up.</summary>
    public long Exposable(long ticks)
    {
        long dots = (ticks + Machine.Clock.MaximumDwellTicks - 1) / Machine.Clock.MaximumDwellTicks;
        return Math.Max(ticks, dots * Machine.Clock.MinimumDwellTicks);
    }

    /// <summary>Stands at two codes with the beam on, for ticks that are <see cref="Exposable"/>; of as few dots as their dwells allow.</summary>
    public IEnumerable<DeflectionRecord> Expose(int x, int y, long ticks)
    {
        long dots = (ticks + Machine.Clock.MaximumDwellTicks - 1) / Machine.Clock.MaximumDwellTicks;
        for (long i = 0; i < dots; i++)
        {
            yield return DeflectionRecord.Dot(x, y, (i + 1) * ticks / dots - i * ticks / dots);
        }
    }
}

/// <summary>Codes that an output may be sent to.</summary>
/// <param name="Lowest">The lowest.</param>
/// <param name="Highest">The highest.</param>
internal readonly record struct CodeSpan(int Lowest, int Highest)
{
    /// <summary>Steps from the lowest to the highest.</summary>
    public int Steps => Highest - Lowest;

    /// <summary>The middle; of two, the upper one, which is 0 V of a range about zero.</summary>
    public int Middle => Lowest + (Steps + 1) / 2;

    /// <summary>A quarter of the way up.</summary>
    public int LowerQuarter => Middle - (Steps + 1) / 4;

    /// <summary>A quarter of the way down.</summary>
    public int UpperQuarter => Middle + (Steps + 1) / 4;
}
