using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Checks;

/// <summary>Ends a run in which nothing may be lost, if something was.</summary>
internal static class LossCheck
{
    /// <exception cref="CompileException">There is a loss among what was reported.</exception>
    public static void Run(DiagnosticSink sink)
    {
        string[] losses = [.. sink.Collected.Where(diagnostic => diagnostic.Code.Kind == DiagnosticKind.Loss).Select(diagnostic => diagnostic.Code.Id)];
        if (losses.Length > 0)
        {
            string codes = string.Join(", ", losses.Distinct().Order(StringComparer.Ordinal));
            throw new CompileException(
                CommandCodes.Lost,
                $"what is written would not be what is drawn: {CountText.Of(losses.Length, "warning", "warnings")} of a loss ({codes}), which strictness forbids",
                fix: "fix the drawing, or leave out --strict ('strict: yes' in the job)");
        }
    }
}
