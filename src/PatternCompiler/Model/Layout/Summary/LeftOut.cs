using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>What the reader of a drawing left open or left out, added up from its messages.</summary>
/// <param name="OpenOutlines">Outlines that stayed open and are written as lines.</param>
/// <param name="IgnoredObjects">Objects of the drawing that are not exposed.</param>
internal readonly record struct LeftOut(long OpenOutlines, long IgnoredObjects)
{
    private static readonly HashSet<DiagnosticCode> NotExposed =
    [
        DxfCodes.Ignored, DxfCodes.Lost, SvgCodes.Ignored, SvgCodes.Lost, GdsiiCodes.Ignored, GdsiiCodes.Lost, OasisCodes.Ignored, OasisCodes.Lost,
    ];

    public static LeftOut Of(IEnumerable<Diagnostic> messages)
    {
        long open = 0;
        long ignored = 0;
        foreach (Diagnostic message in messages)
        {
            open += message.Code == DxfCodes.OpenAsLines ? message.Count : 0;
            ignored += NotExposed.Contains(message.Code) ? message.Count : 0;
        }

        return new(open, ignored);
    }
}
