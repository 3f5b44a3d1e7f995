using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads a machine file: what the pattern writer can do. The format is explained in the built-in machine file.</summary>
public static class MachineFile
{
    private const int FewestBits = 8;
    private const int MostBits = 24;

    // The beam rests through an on-delay in dwells that the controller counts; a longer one is a mistake and would have no end.
    private const double MostDwellsOfDelay = 1000;
    private const double LongestWaitSeconds = 3600;

    // A link that answers later is no link that a receiver's timeout would bear.
    private const double LongestLatencySeconds = 10;
    private const int MostBlocks = 1 << 24;

    // What leaks through a beam that is nearly in focus draws lines as the beam does.
    private const double NarrowestFogInSpots = 10;
    private const double LargestLeakSpotNanometres = 1e6;

    /// <summary>Reads a machine file from disk.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong.</exception>
    public static Machine Read(string path) => Parse(SettingsText.Read(path, "machine"), path);

    /// <summary>Reads the text of a machine file.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages.</param>
    /// <exception cref="CompileException">The file is wrong; the error names line, key and remedy.</exception>
    public static Machine Parse(string yaml, string? file) => YamlText.Read(yaml, file, ReadMachine);

    internal static Machine ReadMachine(YamlMapping root)
    {
        Dac dac = ReadDac(root.Required("dac"));
        CompositeDac? composite = ReadComposite(root.Required("dac"), dac);
        Deflection deflection = DeflectionSection.Read(root.Required("deflection"), dac);
        Clock clock = ReadClock(root.Required("clock"));
        Beam beam = ReadBeam(root.Required("beam"));
        Blanker blanker = ReadBlanker(root.Required("blanker"), clock, beam);
        return new Machine(
            root.Required("machine").AsText(),
            dac,
            deflection,
            SettleSection.Read(root.Optional("settle"), dac, deflection, blanker),
            clock,
            blanker,
            beam,
            ReadLink(root.Required("link")))
        {
            Composite = composite,
            OldSense = DeflectionSection.OldSenseOf(root.Required("deflection")),
            Stage = root.Optional("stage") is YamlNode stage ? StageSection.Read(stage) : null,
            Trigger = root.Optional("trigger") is YamlNode trigger ? MainsSection.ReadTrigger(trigger, clock, blanker) : null,
            Hum = root.Optional("hum") is YamlNode hum ? MainsSection.ReadHum(hum) : null,
            ParkNanometres = root.Optional("park") is YamlNode park ? ReadPark(park, dac, deflection) : null,
            Words = root.Optional("words") is YamlNode words ? ReadWords(words, dac, composite) : null,
            Motion = root.Optional("motion") is YamlNode motion ? MotionSection.Read(motion) : null,
        };
    }

    private static CompositeDac? ReadComposite(YamlNode node, Dac dac)
    {
        YamlMapping mapping = node.AsMapping();
        if (mapping.Optional("fine_bits") is YamlNode fine)
        {
            return new CompositeDac((int)fine.AsInteger(1, dac.Bits - 1), ReadWait(mapping.Required("coarse_settle")));
        }

        return mapping.Optional("coarse_settle") is YamlNode settle
            ? throw settle.OutOfRange("'dac.coarse_settle' stands without 'dac.fine_bits'", "say how many of the bits go to the fine converters")
            : null;
    }

    private static Dac ReadDac(YamlNode node)
    {
        YamlMapping dac = node.AsMapping();
        double lowest = dac.Required("lowest").AsQuantityIn(Unit.Volt);
        double highest = dac.Required("highest").AsQuantityIn(Unit.Volt);
        if (!(lowest < highest))
        {
            throw dac.Required("highest").OutOfRange(
                $"'dac.lowest' is {dac.Required("lowest").AsText()} and 'dac.highest' is {dac.Required("highest").AsText()}, but the highest must be above the lowest",
                "give the lower voltage as 'lowest'; reverse an axis with 'deflection.invert_x' or 'invert_y'");
        }

        return new Dac(
            (int)dac.Required("bits").AsInteger(FewestBits, MostBits),
            lowest,
            highest,
            dac.Required("coding").AsChoice(Choices.Coding),
            dac.Optional("full_scale")?.AsChoice(Choices.FullScale) ?? DacFullScale.OneBeyondLastCode);
    }

    private static Clock ReadClock(YamlNode node)
    {
        YamlMapping clock = node.AsMapping();
        double hertz = clock.Required("rate").AsPositive(Unit.Hertz);
        long shortest = ReadTicks(clock.Required("shortest_dwell"), hertz, roundUp: true);
        long longest = ReadTicks(clock.Required("longest_dwell"), hertz, roundUp: false);
        return longest >= shortest
            ? new Clock(hertz, shortest, longest)
            : throw clock.Required("longest_dwell").OutOfRange(
                $"'clock.longest_dwell' is {longest} ticks, shorter than 'clock.shortest_dwell' of {shortest} ticks");
    }

    /// <summary>A dwell limit in ticks, or in time, which is rounded to the ticks inside the limits.</summary>
    private static long ReadTicks(YamlNode node, double hertz, bool roundUp)
    {
        Quantity quantity = node.AsQuantity(Dimension.Ticks, Dimension.Time);
        double ticks = quantity.Dimension == Dimension.Ticks ? quantity.BaseValue : quantity.BaseValue * hertz;

        // 0.4 us at 10 MHz are 4 ticks, although the product of the two doubles may miss the whole number by its last bit.
        double nearest = Math.Round(ticks);
        if (Math.Abs(ticks - nearest) <= nearest * 1e-12)
        {
            ticks = nearest;
        }
        else if (quantity.Dimension == Dimension.Ticks)
        {
            throw node.OutOfRange($"{node.Name} must be a whole number of ticks, but it is {node.AsText()}");
        }

        ticks = roundUp ? Math.Ceiling(ticks) : Math.Floor(ticks);
        return ticks is >= 1 and <= 1L << 40
            ? (long)ticks
            : throw node.OutOfRange($"{node.Name} must be from 1 to 2^40 ticks, but {node.AsText()} are {NumberText.Format(ticks)} ticks");
    }

    private static Blanker ReadBlanker(YamlNode node, Clock clock, Beam beam)
    {
        if (node is YamlScalar)
        {
            return node.AsChoice(new Choice<Blanker>(("none", new Blanker(false, true, 0, 0, 1))));
        }

        YamlMapping blanker = node.AsMapping();
        double onDelay = ReadWait(blanker.Optional("on_delay"), MostDwellsOfDelay * clock.MaximumDwellTicks / clock.Hertz);
        double offDelay = ReadWait(blanker.Optional("off_delay"), MostDwellsOfDelay * clock.MaximumDwellTicks / clock.Hertz);
        return new Blanker(
            true,
            blanker.Required("active").AsChoice(Choices.ActiveHigh),
            offDelay,
            onDelay,
            blanker.Optional("leak") is YamlNode leak ? ReadLeak(leak) : 0)
        {
            RiseSeconds = ReadEdge(blanker.Optional("rise_time"), onDelay, "on_delay"),
            FallSeconds = ReadEdge(blanker.Optional("fall_time"), offDelay, "off_delay"),
            LeakSpotNanometres = blanker.Optional("leak_spot") is YamlNode spot ? ReadLeakSpot(spot, beam) : 0,
            ShortestPulseSeconds = ReadWait(blanker.Optional("shortest_pulse"), MostDwellsOfDelay * clock.MaximumDwellTicks / clock.Hertz),
            IsCompensated = blanker.Optional("compensate")?.AsFlag() ?? true,
            ScanEnableSeconds = ReadWait(blanker.Optional("scan_enable_delay")),
            ScanDisableSeconds = ReadWait(blanker.Optional("scan_disable_delay")),
        };
    }

    internal static double ReadWait(YamlNode? node, double longestSeconds = LongestWaitSeconds)
    {
        if (node is null)
        {
            return 0;
        }

        double seconds = node.AsNonNegative(Unit.Second);
        return seconds <= longestSeconds
            ? seconds
            : throw node.OutOfRange($"{node.Name} must be at most {QuantityText.Format(longestSeconds, Dimension.Time)}, but it is {node.AsText()}", "look for a wrong unit");
    }

    /// <summary>10 to 90 % of an exponential edge; the delay holds its time constant.</summary>
    private static double ReadEdge(YamlNode? node, double delaySeconds, string delayKey)
    {
        double seconds = ReadWait(node);
        double longest = delaySeconds * BlankerEdges.TimePerConstant;
        return seconds <= longest * (1 + 1e-9)
            ? seconds
            : throw node!.OutOfRange(
                $"{node.Name} of {node.AsText()} is longer than 2.197 times 'blanker.{delayKey}' of {QuantityText.Format(delaySeconds, Dimension.Time, 6)}, which holds the time constant of the edge",
                $"'{delayKey}' counts from the line's edge until the beam has as much charge as if it switched at once: give it as 'patternc fit blanker' does");
    }

    private static double ReadLeakSpot(YamlNode node, Beam beam)
    {
        double spot = node.AsPositive(Unit.Nanometre);
        return spot >= NarrowestFogInSpots * beam.SpotNanometres && spot <= LargestLeakSpotNanometres
            ? spot
            : throw node.OutOfRange(
                $"{node.Name} must be from {NumberText.Format(NarrowestFogInSpots)} times the beam's spot of {QuantityText.Format(beam.SpotNanometres * 1e-9, Dimension.Length, 6)} to 1 mm, but it is {node.AsText()}",
                "leave it out where what leaks has the beam's own spot");
    }

    private static double ReadLeak(YamlNode node)
    {
        double leak = node.AsNonNegative(Unit.One);
        return leak <= 1 ? leak : throw node.OutOfRange($"{node.Name} is a part of the beam current, from 0 to 100 %, but it is {node.AsText()}");
    }

    private static Beam ReadBeam(YamlNode node)
    {
        YamlMapping beam = node.AsMapping();
        return new Beam(
            beam.Required("current").AsPositive(Unit.Ampere),
            beam.Required("spot").AsPositive(Unit.Nanometre),
            beam.Required("energy").AsPositive(Unit.Electronvolt))
        {
            Later = beam.Optional("later") is YamlNode later ? ReadReading(later) : null,
        };
    }

    private static CurrentReading ReadReading(YamlNode node)
    {
        YamlMapping reading = node.AsMapping();
        return new CurrentReading(reading.Required("after").AsPositive(Unit.Second), reading.Required("current").AsPositive(Unit.Ampere));
    }

    private static (double X, double Y) ReadPark(YamlNode node, Dac dac, Deflection deflection)
    {
        const double FemtometresPerNanometre = 1e6;
        (double x, double y) = LengthPair.Read(node);
        var mapping = new DacMapping(dac, deflection);
        (double codeX, double codeY) = mapping.CodesAt((long)Math.Round(x * FemtometresPerNanometre), (long)Math.Round(y * FemtometresPerNanometre));
        return mapping.Reaches(codeX, codeY)
            ? (x, y)
            : codeX >= 0 && codeX <= dac.CodeCount - 1 && codeY >= 0 && codeY <= dac.CodeCount - 1
                ? throw node.OutOfRange(
                    $"{node.Name} needs codes {DacMapping.Nearest(codeX)} and {DacMapping.Nearest(codeY)}, but the outputs follow from {mapping.UsableX.Lowest} to {mapping.UsableX.Highest} and from {mapping.UsableY.Lowest} to {mapping.UsableY.Highest}",
                    "choose a place that the amplifiers reach")
                : throw node.OutOfRange($"{node.Name} lies outside the field", "choose a place that the converters reach");
    }

    private static Link ReadLink(YamlNode node)
    {
        YamlMapping link = node.AsMapping();
        YamlNode? count = link.Optional("blocks");
        long blocks = count?.AsInteger(1, MostBlocks) ?? 0;
        double buffer = blocks > 0 && link.Optional("buffer") is null ? blocks * StreamFormat.LargestBlock : link.Required("buffer").AsPositive(Unit.Byte);
        if (buffer != Math.Floor(buffer) || buffer > 1L << 50)
        {
            throw link.Required("buffer").OutOfRange($"'link.buffer' must be a whole number of bytes, but it is {link.Required("buffer").AsText()}");
        }

        if (blocks * StreamFormat.LargestBlock > buffer)
        {
            throw count!.OutOfRange(
                $"'link.blocks' of {blocks} need {blocks * StreamFormat.LargestBlock} bytes, but 'link.buffer' is {link.Required("buffer").AsText()}",
                "leave out one of the two; a block takes up to 526 bytes");
        }

        return new Link(link.Required("rate").AsPositive(Unit.BytePerSecond), (long)buffer, link.Optional("interpolates_lines")?.AsFlag() ?? true)
        {
            LatencySeconds = ReadWait(link.Optional("latency"), LongestLatencySeconds),
            Blocks = blocks,
        };
    }

    private static WordLayout ReadWords(YamlNode node, Dac dac, CompositeDac? composite)
    {
        YamlMapping words = node.AsMapping();
        if (words.Optional("blank") is YamlNode level)
        {
            throw level.Error(
                JobCodes.SecondBlankLevel,
                $"{level.Name} would state the level of the blank line a second time",
                "remove it; 'blanker.active' holds for every output");
        }

        var layout = new WordLayout(
            (int)words.Required("word_bits").AsInteger(8, 32),
            [.. words.Required("fields").AsList().Select(ReadWordField)],
            words.Required("byte_order").AsChoice(Choices.MostSignificantByteFirst),
            words.Optional("bit_order")?.AsChoice(Choices.LeastSignificantBitFirst) ?? false)
        {
            FineBits = composite?.FineBits ?? 0,
        };
        return layout.FaultOf(dac) is string fault ? throw words.OutOfRange(fault) : layout;
    }

    /// <summary>"x 16": what the field carries and its bits.</summary>
    private static WordField ReadWordField(YamlNode node)
    {
        string text = node.AsText();
        string[] parts = text.Split(' ', StringSplitOptions.RemoveEmptyEntries);
        return parts.Length == 2 && WordLayout.Contents.TryWord(parts[0], out WordContent content) && NumberText.TryParseInteger(parts[1], out long bits) && bits is >= 1 and <= 32
            ? new WordField(content, (int)bits)
            : throw node.Error(
                JobCodes.WrongType,
                $"{node.Name} must be {WordLayout.Contents.Alternatives} and a number of bits from 1 to 32, but it is '{text}'",
                "write for example x 16");
    }
}
