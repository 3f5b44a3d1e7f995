using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Scale;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a machine file on how the deflection moves: waits, response, hysteresis, approach, conditioning.</summary>
internal static class SettleSection
{
    private const int MostParts = 4;
    private const double LargestPart = 2;
    private const double LongestTimeConstantSeconds = 10;
    private const int MostLoops = 1000;

    // Parts are written with some digits each: what they miss of 1 by rounding of the sum alone is no mistake.
    private const double RoundingOfSum = 1e-9;

    public static SettleModel Read(YamlNode? node, Dac dac, Deflection deflection, Blanker blanker)
    {
        if (node is null)
        {
            return new SettleModel(0, 0, 0);
        }

        YamlMapping settle = node.AsMapping();
        ImmutableArray<SettlePart> x = ReadResponse(settle, "response_x", "response_y");
        ImmutableArray<SettlePart> y = ReadResponse(settle, "response_y", "response_x");
        double constant = x.IsEmpty ? MachineFile.ReadWait(settle.Optional("time_constant")) : x.Concat(y).Max(part => part.TimeConstantSeconds);
        var model = new SettleModel(
            MachineFile.ReadWait(settle.Optional("fixed")),
            constant,
            settle.Optional("slew")?.AsPositive(Unit.NanometrePerSecond) ?? 0)
        {
            Table = settle.Optional("table") is YamlNode table ? ReadTable(table) : [],
            CancelsLag = settle.Optional("cancel_lag")?.AsFlag() ?? false,
            ResponseX = x,
            ResponseY = y,
            HysteresisXNanometres = ReadHysteresis(settle, "hysteresis_x", deflection.FieldWidthNanometres),
            HysteresisYNanometres = ReadHysteresis(settle, "hysteresis_y", deflection.FieldHeightNanometres),
            Conditioning = settle.Optional("conditioning") is YamlNode loops ? ReadConditioning(loops, new DacMapping(dac, deflection), blanker) : null,
        };
        if (model.CancelsLag && x.Concat(y).Any(part => part.Part < 0))
        {
            throw settle.Required("cancel_lag").OutOfRange(
                "'settle.cancel_lag' goes with responses whose parts are all above zero: what is sent ahead would otherwise grow without end",
                "leave the negative parts out, or set 'cancel_lag: no'");
        }

        return settle.Optional("approach") is YamlNode approach ? model with { ApproachNanometres = ReadApproach(approach, model, blanker) } : model;
    }

    /// <summary>Pairs of part and time constant.</summary>
    private static ImmutableArray<SettlePart> ReadResponse(YamlMapping settle, string key, string other)
    {
        if (settle.Optional(key) is not YamlNode node)
        {
            return [];
        }

        settle.RefuseBoth(key, "time_constant");
        settle.RefuseBoth(key, "slew");
        if (settle.Optional(other) is null)
        {
            throw node.OutOfRange($"{node.Name} stands without 'settle.{other}'", "say how the other axis responds, too; the same values if it is like this one");
        }

        IReadOnlyList<YamlNode> items = node.AsList();
        if (items.Count > MostParts)
        {
            throw node.OutOfRange($"{node.Name} must have 1 to {MostParts} parts, but it has {items.Count}", "write for example [[0.9, 5 us], [0.1, 200 us]]");
        }

        ImmutableArray<SettlePart> parts = [.. items.Select(ReadPart)];
        double sum = parts.Sum(part => part.Part);
        if (Math.Abs(sum - 1) > RoundingOfSum)
        {
            throw node.OutOfRange($"the parts of {node.Name} must add up to 1, but they make {NumberText.Format(Math.Round(sum, 12))}", "each is the part of a step that settles with its time constant");
        }

        return parts;
    }

    private static SettlePart ReadPart(YamlNode node)
    {
        IReadOnlyList<YamlNode> pair = node.AsList();
        if (pair.Count != 2)
        {
            throw node.OutOfRange($"{node.Name} must have a part and a time constant, but it has {pair.Count} values", "write for example [0.9, 5 us]");
        }

        double seconds = pair[1].AsPositive(Unit.Second);
        return seconds <= LongestTimeConstantSeconds
            ? new SettlePart(pair[0].AsReal(-LargestPart, LargestPart), seconds)
            : throw pair[1].OutOfRange(
                $"{pair[1].Name} must be at most {QuantityText.Format(LongestTimeConstantSeconds, Dimension.Time)}, but it is {pair[1].AsText()}", "look for a wrong unit; what takes longer is drift");
    }

    private static double ReadHysteresis(YamlMapping settle, string key, double fieldNanometres)
    {
        if (settle.Optional(key) is not YamlNode node)
        {
            return 0;
        }

        double nanometres = node.AsNonNegative(Unit.Nanometre);
        return nanometres < fieldNanometres / 2
            ? nanometres
            : throw node.OutOfRange($"{node.Name} must be less than half of the field, but it is {node.AsText()}", "look for a wrong unit");
    }

    private static double ReadApproach(YamlNode node, SettleModel model, Blanker blanker)
    {
        double nanometres = node.AsPositive(Unit.Nanometre);
        double hysteresis = Math.Max(model.HysteresisXNanometres, model.HysteresisYNanometres);
        RequireBlanker(node, blanker, "every figure would begin with a line that leads to it");
        return nanometres >= hysteresis
            ? nanometres
            : throw node.OutOfRange(
                $"{node.Name} is {node.AsText()}, less than the hysteresis of {QuantityText.Format(hysteresis * 1e-9, Dimension.Length)}, and would leave some of it", "make it at least as long");
    }

    private static ConditioningLoops ReadConditioning(YamlNode node, DacMapping mapping, Blanker blanker)
    {
        const double FemtometresPerNanometre = 1e6;
        YamlMapping map = node.AsMapping();
        YamlNode size = map.Required("size");
        (double width, double height) = size is YamlScalar ? (size.AsPositive(Unit.Nanometre), size.AsPositive(Unit.Nanometre)) : LengthPair.Read(size);
        var loops = new ConditioningLoops((int)map.Required("loops").AsInteger(1, MostLoops), width, height);
        RequireBlanker(node, blanker, "the loops would print");
        bool isReached = width > 0 && height > 0;
        foreach ((int alongX, int alongY) in (ReadOnlySpan<(int, int)>)[(-1, -1), (1, -1), (1, 1), (-1, 1)])
        {
            (double codeX, double codeY) = isReached
                ? mapping.CodesAt((long)Math.Round(alongX * width / 2 * FemtometresPerNanometre), (long)Math.Round(alongY * height / 2 * FemtometresPerNanometre))
                : (double.NaN, double.NaN);
            isReached &= mapping.Reaches(codeX, codeY);
        }

        return isReached ? loops : throw size.OutOfRange($"{size.Name} must lie inside the field and the codes that may be sent, but it is {(size is YamlScalar ? size.AsText() : "not")}", "choose loops that the converters reach, for example nine tenths of the field");
    }

    private static void RequireBlanker(YamlNode node, Blanker blanker, string harm)
    {
        if (!blanker.IsPresent)
        {
            throw node.OutOfRange($"{node.Name} needs a blanker: without one {harm}", "leave it out");
        }
    }

    /// <summary>Pairs of jump length and wait, by rising length.</summary>
    private static ImmutableArray<SettlePoint> ReadTable(YamlNode node)
    {
        var table = ImmutableArray.CreateBuilder<SettlePoint>();
        foreach (YamlNode line in node.AsList())
        {
            IReadOnlyList<YamlNode> pair = line.AsList();
            if (pair.Count != 2)
            {
                throw line.OutOfRange($"{line.Name} must have a jump length and a wait, but it has {pair.Count} values", "write for example [10 um, 30 us]");
            }

            var point = new SettlePoint(pair[0].AsPositive(Unit.Nanometre), MachineFile.ReadWait(pair[1]));
            if (table.Count > 0 && point.JumpNanometres <= table[^1].JumpNanometres)
            {
                throw line.OutOfRange($"{line.Name} has a jump of {pair[0].AsText()}, not longer than the one before it", "sort the lines by jump length");
            }

            table.Add(point);
        }

        return table.ToImmutable();
    }
}
