using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Jobs.Operations;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Limits;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Relief;
using PatternCompiler.Prediction.Shapes;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads a job file. The format is explained in the built-in job file.</summary>
public static class JobFile
{
    private const double LargestGridPicometres = 1e6;

    /// <summary>Reads a job file from disk.</summary>
    /// <exception cref="CompileException">The file cannot be read or is wrong.</exception>
    public static Job Read(string path) => Parse(SettingsText.Read(path, "job"), path);

    /// <summary>Reads the text of a job file.</summary>
    /// <param name="yaml">The text.</param>
    /// <param name="file">File name for messages; its folder is the base of relative paths.</param>
    /// <exception cref="CompileException">The file is wrong; the error names line, key and remedy.</exception>
    public static Job Parse(string yaml, string? file) => YamlText.Read(yaml, file, root => ReadJob(root, file, new JobPaths(file)));

    /// <summary>Reads the top of a job file.</summary>
    /// <param name="root">The top.</param>
    /// <param name="file">File name for messages.</param>
    /// <param name="paths">Resolves the names of other files.</param>
    internal static Job ReadJob(YamlMapping root, string? file, JobPaths paths)
    {
        FillSettings fill = root.Optional("fill") is YamlNode general ? FillSection.Read(general) : FillSettings.Open;
        YamlMapping? fracture = root.Optional("fracture")?.AsMapping();
        ImmutableArray<AreaOperation> operations = root.Optional("operations") is YamlNode list
            ? [.. list.AsList().Select(ReadOperation)]
            : [];
        if (!operations.IsEmpty && root.Optional("write") is null)
        {
            throw root.Required("operations").Error(
                JobCodes.MissingKey,
                "a job with 'operations' must say which layers it writes, or the layers that they are made from would be written, too",
                $"add 'write: [{string.Join(", ", operations.Select(operation => operation.Layer).Distinct())}]'");
        }

        var job = new Job(
            root.Required("job").AsText(),
            root.Optional("machine") is YamlNode machine ? paths.Read(machine) : null,
            root.Optional("process") is YamlNode process ? paths.Read(process) : null,
            root.Optional("sources") is YamlNode sources ? [.. sources.AsList().Select(node => SourceSection.Read(node, paths))] : [],
            operations,
            root.Optional("write") is YamlNode write ? [.. write.AsOneOrMore().Select(layer => layer.AsText())] : [],
            root.Optional("position")?.AsChoice(Choices.Position) ?? PatternPosition.AsDrawn,
            root.Optional("grid") is YamlNode grid ? ReadGrid(grid) : Model.Layout.LayoutDocument.DefaultGridPicometres,
            root.Optional("chord_error")?.AsPositive(Unit.Nanometre) ?? 1,
            fracture?.Optional("direction")?.AsChoice(Choices.FractureDirection) ?? FractureDirection.Horizontal,
            fracture?.Optional("dose_overlap")?.AsChoice(Choices.DoseOverlap) ?? DoseOverlapRule.Highest,
            root.Optional("correct") is YamlNode correct ? ReadCorrection(correct) : null,
            fill,
            root.Optional("layers") is YamlNode layers ? ReadLayers(layers) : [],
            root.Optional("markers")?.AsFlag() ?? false,
            root.Optional("outputs") is YamlNode outputs ? [.. outputs.AsList().Select(node => ReadOutput(node, paths))] : [],
            root.Optional("keep") is YamlNode keep ? ReadKeep(keep, paths) : KeptDocuments.None)
        {
            IsStrict = root.Optional("strict")?.AsFlag() ?? false,
            File = file is null or "-" ? null : file,
            Report = root.Optional("report") is YamlNode report ? ReportSection.Read(report, paths) : null,
            PlacesPath = root.Optional("places") is YamlNode places ? paths.Write(places, FileContent.Of("places")) : null,
            ProvenancePath = root.Optional("provenance") is YamlNode provenance ? paths.Write(provenance, FileContent.Of("json")) : null,
            Bias = root.Optional("bias") is YamlNode bias ? ReadBias(bias) : new BiasSettings(0, OffsetJoin.Mitre),
            LargestFigureNanometres = fracture?.Optional("largest_figure")?.AsPositive(Unit.Nanometre) ?? 0,
            SliverNanometres = fracture?.Optional("sliver")?.AsNonNegative(Unit.Nanometre) ?? 0,
            Fields = root.Optional("fields") is YamlNode fields ? FieldSection.Read(fields, paths) : null,
            Alignment = SampleSection.Read(
                root, paths, root.Optional("alignment") is YamlNode alignment ? AlignmentSection.Read(alignment, paths, root.Optional("fields") is not null) : null),
            Looks = root.Optional("looks") is YamlNode looks ? LookSection.Read(looks, paths) : null,
            Run = root.Optional("run") is YamlNode run ? RunSection.Read(run, root.Optional("fields") is not null) : RunSettings.Usual,
            SmoothingNanometres = fracture?.Optional("smoothing")?.AsNonNegative(Unit.Nanometre) ?? 0,
            Nets = root.Optional("nets") is YamlNode nets ? ReadNets(nets) : [],
            Limits = root.Optional("limits") is YamlNode limits ? LimitsSection.Read(limits) : WorkLimits.Usual,
            Order = root.Optional("order") is YamlNode order ? ReadOrder(order) : new OrderOptions(WritingOrder.ShortTravel),
            HidesTravel = (root.Optional("order") as YamlMapping)?.Optional("travel")?.AsChoice(Choices.HidesTravel) ?? false,
        };
        if (job.DoseOverlap == DoseOverlapRule.Sum && job.Layers.FirstOrDefault(layer => layer.Relief is not null) is { } relief)
        {
            throw fracture!.Required("dose_overlap").OutOfRange(
                $"'dose_overlap: sum' adds doses, but layer '{relief.Layer}' holds heights", "choose another rule; the highest dose leaves the lowest height of a positive resist");
        }

        if (job.Looks is not null && job.Position != PatternPosition.AsDrawn)
        {
            throw root.Required("position").OutOfRange("'looks' says where marks are in the drawing, and a centred pattern lies elsewhere", "leave out 'position'");
        }

        paths.RefuseClashes();
        return job;
    }

    private static ImmutableArray<Net> ReadNets(YamlNode node) =>
    [
        .. node.AsMapping().Any().Select(entry => new Net(
            entry.Key,
            [
                .. entry.Value.AsList().Select(point =>
                {
                    (double x, double y) = LengthPair.Read(point);
                    return new NetPoint(x, y, point.Place);
                }),
            ])),
    ];

    /// <summary>A distance alone, or with the shape of corners.</summary>
    private static BiasSettings ReadBias(YamlNode node)
    {
        if (node is YamlScalar)
        {
            return new BiasSettings(node.AsQuantityIn(Unit.Nanometre), OffsetJoin.Mitre);
        }

        YamlMapping bias = node.AsMapping();
        return new BiasSettings(
            bias.Optional("distance")?.AsQuantityIn(Unit.Nanometre) ?? 0,
            bias.Optional("corners")?.AsChoice(Choices.Corners) ?? OffsetJoin.Mitre);
    }

    private static OrderOptions ReadOrder(YamlNode node)
    {
        YamlMapping order = node.AsMapping();
        return new OrderOptions(
            order.Optional("by")?.AsChoice(Choices.Order) ?? WritingOrder.ShortTravel,
            order.Optional("dose")?.AsChoice(Choices.DoseOrder) ?? DoseOrder.Mixed,
            (int?)order.Optional("trials")?.AsInteger(0, int.MaxValue) ?? TravelOptions.DefaultTrials);
    }

    private static AreaOperation ReadOperation(YamlNode node)
    {
        YamlMapping operation = node.AsMapping();
        return new AreaOperation(operation.Required("layer").AsText(), LayerExpressionParser.Parse(operation.Required("from")));
    }

    private static long ReadGrid(YamlNode node)
    {
        double picometres = node.AsPositive(Unit.Picometre);
        return picometres == Math.Floor(picometres) && picometres is >= 1 and <= LargestGridPicometres
            ? (long)picometres
            : throw node.OutOfRange($"{node.Name} must be a whole number of picometres from 1 pm to 1 um, but it is {node.AsText()}", "write for example 0.1 nm");
    }

    private static CorrectionSettings ReadCorrection(YamlNode node)
    {
        YamlMapping correct = node.AsMapping();
        CorrectionSettings standard = CorrectionSettings.Default;
        double tolerance = correct.Optional("tolerance")?.AsPositive(Unit.One) ?? standard.Tolerance;
        return new CorrectionSettings(
            correct.Optional("target")?.AsChoice(Choices.CorrectionTarget) ?? standard.Target,
            tolerance < 1 ? tolerance : throw correct.Required("tolerance").OutOfRange("'correct.tolerance' must be below 100 %", "write for example 0.5 %"),
            (int)(correct.Optional("iterations")?.AsInteger(1, 1000) ?? standard.LargestIterations),
            correct.Optional("smallest_piece")?.AsPositive(Unit.Nanometre) ?? standard.SmallestPieceNanometres,
            (int)(correct.Optional("dose_classes")?.AsInteger(0, 100_000) ?? standard.DoseClasses));
    }

    private static ImmutableArray<LayerSettings> ReadLayers(YamlNode node)
    {
        var layers = ImmutableArray.CreateBuilder<LayerSettings>();
        foreach (YamlNode item in node.AsList())
        {
            LayerSettings layer = ReadLayer(item);
            if (layers.Any(other => other.Layer == layer.Layer))
            {
                throw item.OutOfRange($"the layer '{layer.Layer}' is listed twice", "list each layer once, in writing order");
            }

            layers.Add(layer);
        }

        return layers.ToImmutable();
    }

    private static LayerSettings ReadLayer(YamlNode node)
    {
        if (node is YamlScalar)
        {
            return new LayerSettings(node.AsText(), DoseFactor.One, FillSettings.Open);
        }

        YamlMapping layer = node.AsMapping();
        return new LayerSettings(
            layer.Required("layer").AsText(),
            layer.Optional("dose_factor") is YamlNode factor ? ReadDoseFactor(factor) : DoseFactor.One,
            layer.Optional("fill") is YamlNode fill ? FillSection.Read(fill) : FillSettings.Open)
        {
            AreaDoseCoulombsPerSquareMetre = layer.Optional("area_dose")?.AsPositive(Unit.CoulombPerSquareMetre),
            LineDoseCoulombsPerMetre = layer.Optional("line_dose")?.AsPositive(Unit.CoulombPerMetre),
            DotChargeCoulombs = layer.Optional("dot_charge")?.AsPositive(Unit.Coulomb),
            BiasNanometres = layer.Optional("bias")?.AsQuantityIn(Unit.Nanometre),
            Relief = ReadRelief(layer),
        };
    }

    private static LayerRelief? ReadRelief(YamlMapping layer)
    {
        layer.RefuseBoth("values", "height");
        if (layer.Optional("height") is YamlNode node)
        {
            double height = node.AsQuantityIn(Unit.One);
            return height is >= 0 and <= 1
                ? new LayerRelief(ReliefValues.Heights, height)
                : throw node.OutOfRange($"{node.Name} must be from 0 to 1, but it is {node.AsText()}", "write the part of the film that is to remain, for example 40 %");
        }

        return layer.Optional("values")?.AsChoice(Choices.Values);
    }

    private static DoseFactor ReadDoseFactor(YamlNode node)
    {
        double factor = node.AsQuantityIn(Unit.One);
        return factor is > 0 and <= 2000
            ? DoseFactor.FromValue(factor)
            : throw node.OutOfRange($"{node.Name} must be above 0 and at most 2000, but it is {node.AsText()}");
    }

    private static JobOutput ReadOutput(YamlNode node, JobPaths paths)
    {
        YamlMapping output = node.AsMapping();
        YamlNode word = output.Required("format");
        bool isOld = word.IsWord(OutputFormats.OldMotionWord);
        OutputFormat format = isOld ? OutputFormat.Motion : word.AsChoice(OutputFormats.Choice);
        return new JobOutput(paths.Write(output.Required("file"), OutputFormats.ContentOf(format)), format) { OldWord = isOld ? word.Place : null };
    }

    private static KeptDocuments ReadKeep(YamlNode node, JobPaths paths)
    {
        YamlMapping keep = node.AsMapping();
        string? PathOf(string key) => keep.Optional(key) is YamlNode path ? paths.Write(path, FileContent.Of(key)) : null;
        return new KeptDocuments(PathOf("layout"), PathOf("figures"), PathOf("strokes"), PathOf("records"), keep.Optional("binary")?.AsFlag() ?? false);
    }
}
