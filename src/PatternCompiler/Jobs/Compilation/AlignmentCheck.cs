using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Compilation;

/// <summary>Sees that what is placed on the layer below is a write field that is known, where the job has any.</summary>
internal static class AlignmentCheck
{
    private const int MostNames = 6;

    /// <summary>Settings of a document that is not divided; one of a single write field does not say which, and each lies elsewhere on the layer below.</summary>
    public static BuildSettings Known(BuildSettings settings) => !settings.NeedsField ? settings : throw new CompileException(
        FieldCodes.NoAlignment,
        settings.Job.Alignment is { Layers.Sample: null }
            ? "this job places its write fields on the layer below, and the document does not say which field it is of"
            : "the deflection makes up for where the stage stands in each write field, and the document does not say which field it is of",
        new SourcePlace(settings.Job.File),
        "run 'patternc build', or name the manifest of the fields");

    /// <summary>Sees to the same where a run starts.</summary>
    public static void RequireKnown(BuildSettings settings, DocumentKind kind)
    {
        if (kind is not (DocumentKind.Drawing or DocumentKind.Figures or DocumentKind.Manifest))
        {
            Known(settings);
        }
    }

    /// <summary>A placement for a field that there is not would be for nothing: its name is misspelled.</summary>
    public static void RequireFields(Job job, FieldPlan plan)
    {
        if (job.Alignment?.Layers.Fields.Keys.FirstOrDefault(name => plan.Fields.All(field => field.Name != name)) is string unknown)
        {
            string known = string.Join(", ", plan.Fields.Take(MostNames).Select(field => field.Name)) + (plan.Fields.Length > MostNames ? ", ..." : "");
            throw new CompileException(
                FieldCodes.UnknownField,
                $"'alignment.fields' names {unknown}, and the pattern has no such write field",
                new SourcePlace(job.File),
                $"its fields are {known}");
        }
    }
}
