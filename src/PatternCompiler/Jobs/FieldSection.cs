using PatternCompiler.Files;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads the section of a job file about write fields.</summary>
internal static class FieldSection
{
    private const int MostTaperSteps = 1000;

    public static FieldSettings Read(YamlNode node, JobPaths paths)
    {
        YamlMapping fields = node.AsMapping();
        fields.RefuseBoth("size", "width");
        fields.RefuseBoth("size", "height");
        bool isSquare = fields.Optional("width") is null && fields.Optional("height") is null;
        SeamKind seam = fields.Optional("seam")?.AsChoice(Choices.Seam) ?? SeamKind.Butt;
        if (seam == SeamKind.Butt && fields.Optional("seam_width") is YamlNode unused)
        {
            throw unused.OutOfRange($"{unused.Name} has no meaning where the parts meet edge to edge", "add 'seam: taper' or 'seam: overlap', or leave it out");
        }

        if (seam != SeamKind.Taper && fields.Optional("taper_steps") is YamlNode steps)
        {
            throw steps.OutOfRange($"{steps.Name} has no meaning without a taper", "add 'seam: taper', or leave it out");
        }

        var options = new FieldOptions(
            fields.Required(isSquare ? "size" : "width").AsPositive(Unit.Nanometre),
            fields.Required(isSquare ? "size" : "height").AsPositive(Unit.Nanometre),
            fields.Required("margin").AsPositive(Unit.Nanometre))
        {
            Seam = seam,
            SeamWidthNanometres = seam == SeamKind.Butt ? 0 : fields.Required("seam_width").AsPositive(Unit.Nanometre),
            TaperSteps = (int)(fields.Optional("taper_steps")?.AsInteger(1, MostTaperSteps) ?? 8),
            Order = fields.Optional("order")?.AsChoice(Choices.StageOrder) ?? StageOrder.Serpentine,
            FirstCentreNanometres = fields.Optional("first") is YamlNode first ? LengthPair.Read(first) : null,
            Marks = fields.Optional("marks") is YamlNode marks ? ReadMarks(marks) : null,
        };
        return new FieldSettings(options, fields.Optional("manifest") is YamlNode manifest ? paths.Write(manifest, FileContent.Of("yaml")) : null);
    }

    private static FieldMarks ReadMarks(YamlNode node)
    {
        YamlMapping marks = node.AsMapping();
        var drawn = new FieldMarks(
            marks.Required("layer").AsText(),
            marks.Optional("written")?.AsChoice(Choices.MarksAreFirst) ?? true);
        if (marks.Optional("at") is not YamlNode at)
        {
            foreach (string key in new[] { "shape", "size", "bar" })
            {
                if (marks.Optional(key) is YamlNode alone)
                {
                    throw alone.OutOfRange($"{alone.Name} is about marks that are made, but 'fields.marks.at' does not say where", "add 'at' with their places from the field's centre");
                }
            }

            return drawn;
        }

        double size = marks.Required("size").AsPositive(Unit.Nanometre);
        MarkShape shape = marks.Optional("shape")?.AsChoice(Choices.MarkShape) ?? MarkShape.Cross;
        marks.Accept("bar");
        double bar = shape == MarkShape.Square ? size : marks.Required("bar").AsPositive(Unit.Nanometre);
        return bar <= size
            ? drawn with { Places = [.. at.AsList().Select(LengthPair.Read)], Shape = shape, SizeNanometres = size, BarNanometres = bar }
            : throw marks.Required("bar").OutOfRange("'fields.marks.bar' is wider than the mark itself", "give the width of one bar of the cross");
    }
}
