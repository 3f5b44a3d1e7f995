using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Layout.Summary;

/// <summary>What the reader of a drawing left open or left out, added up from its messages.</summary>
/// <param name="OpenOutlines">Outlines that stayed open and are written as lines.</param>
/// <param name="IgnoredObjects">Objects of the drawing that are not exposed.</param>
internal readonly record struct LeftOut(long OpenOutlines, long IgnoredObjects)
{
    public static LeftOut Of(IEnumerable<Diagnostic> messages)
    {
        long open = 0;
        long ignored = 0;
        foreach (Diagnostic message in messages)
        {
            open += message.Code == DxfCodes.OpenAsLines ? message.Count : 0;
            ignored += message.Code == DxfCodes.Ignored || message.Code == SvgCodes.Ignored || message.Code == GdsiiCodes.Ignored
                || message.Code == OasisCodes.Ignored ? message.Count : 0;
        }

        return new(open, ignored);
    }
}
