using System.Collections.Immutable;
using System.Diagnostics.CodeAnalysis;
using System.Reflection;

namespace PatternCompiler.Diagnostics.Catalogue;

/// <summary>Everything that the compiler can complain about, for explanations and lists.</summary>
public static class DiagnosticCatalogue
{
    /// <summary>All codes in order of their numbers.</summary>
    public static ImmutableArray<DiagnosticCode> All { get; } =
    [
        .. CodesOf(typeof(BatchCodes))
            .Concat(CodesOf(typeof(CalibrationCodes)))
            .Concat(CodesOf(typeof(CheckCodes)))
            .Concat(CodesOf(typeof(CommandCodes)))
            .Concat(CodesOf(typeof(DrawingWriteCodes)))
            .Concat(CodesOf(typeof(DxfCodes)))
            .Concat(CodesOf(typeof(GdsiiCodes)))
            .Concat(CodesOf(typeof(JobCodes)))
            .Concat(CodesOf(typeof(PredictionCodes)))
            .Concat(CodesOf(typeof(UnitCodes)))
            .OrderBy(code => code.Id, StringComparer.Ordinal),
    ];

    /// <summary>The code with an identifier such as "PC0201", in any case; null if there is none.</summary>
    public static DiagnosticCode? Find(string id) =>
        All.FirstOrDefault(code => code.Id.Equals(id, StringComparison.OrdinalIgnoreCase));

    // The types are named above, so that a trimmed program keeps exactly these fields.
    private static IEnumerable<DiagnosticCode> CodesOf(
        [DynamicallyAccessedMembers(DynamicallyAccessedMemberTypes.PublicFields)] Type codes) =>
        codes.GetFields(BindingFlags.Public | BindingFlags.Static).Select(field => field.GetValue(null)).OfType<DiagnosticCode>();
}
