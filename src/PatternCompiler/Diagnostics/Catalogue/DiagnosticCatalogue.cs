using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Reflection;

namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Everything that the compiler can complain about, for explanations and lists.</summary>
internal static class DiagnosticCatalogue
{
    /// <summary>All codes in order of their numbers.</summary>
    public static ImmutableArray<DiagnosticCode> All { get; } =
    [
        .. new[]
        {
            CodesOf(typeof(BackEndCodes)),
            CodesOf(typeof(BatchCodes)),
            CodesOf(typeof(BooleanCodes)),
            CodesOf(typeof(CalibrationCodes)),
            CodesOf(typeof(CheckCodes)),
            CodesOf(typeof(CommandCodes)),
            CodesOf(typeof(CompareCodes)),
            CodesOf(typeof(DocumentCodes)),
            CodesOf(typeof(DrawingCodes)),
            CodesOf(typeof(DrawingWriteCodes)),
            CodesOf(typeof(DxfCodes)),
            CodesOf(typeof(FieldCodes)),
            CodesOf(typeof(FillCodes)),
            CodesOf(typeof(FractureCodes)),
            CodesOf(typeof(GdsiiCodes)),
            CodesOf(typeof(OasisCodes)),
            CodesOf(typeof(GenerateCodes)),
            CodesOf(typeof(HierarchyCodes)),
            CodesOf(typeof(ImageCodes)),
            CodesOf(typeof(JobCodes)),
            CodesOf(typeof(LayoutCodes)),
            CodesOf(typeof(LimitCodes)),
            CodesOf(typeof(LookCodes)),
            CodesOf(typeof(MeasureCodes)),
            CodesOf(typeof(OrderCodes)),
            CodesOf(typeof(PredictionCodes)),
            CodesOf(typeof(ProximityCodes)),
            CodesOf(typeof(ReliefCodes)),
            CodesOf(typeof(RunCodes)),
            CodesOf(typeof(ScaleCodes)),
            CodesOf(typeof(SvgCodes)),
            CodesOf(typeof(UnitCodes)),
        }.SelectMany(codes => codes).OrderBy(code => code.Id, StringComparer.Ordinal),
    ];

    /// <summary>The code with an identifier such as "PC0201", in any case; null if there is none.</summary>
    public static DiagnosticCode? Find(string id) =>
        All.FirstOrDefault(code => code.Id.Equals(id, StringComparison.OrdinalIgnoreCase));

    // The types are named above, so that a trimmed program keeps exactly these fields.
    private static IEnumerable<DiagnosticCode> CodesOf(
        [DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.PublicFields)] Type codes) =>
        codes.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => field.GetValue(null)).OfType<DiagnosticCode>();
}
