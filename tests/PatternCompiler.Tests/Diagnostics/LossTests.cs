using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Tests.Diagnostics;

/// <summary>What a loss is: a property of its number, a warning at least, and forbidden where a run is strict.</summary>
public sealed class LossTests
{
    // A new loss belongs into this list and into the walk of the end-to-end tests, with a small input that reaches it.
    [Fact]
    public void Every_loss_is_known() => Assert.Equal(
        ["PC0385", "PC0481", "PC0585", "PC0586", "PC1002", "PC1003", "PC1091", "PC1207", "PC1285", "PC2051", "PC3025", "PC3026", "PC3027", "PC3029"],
        DiagnosticCatalogue.All.Where(code => code.Kind == DiagnosticKind.Loss).Select(code => code.Id));

    [Fact]
    public void A_loss_is_never_less_than_a_warning()
    {
        foreach (DiagnosticCode code in DiagnosticCatalogue.All)
        {
            var sink = new DiagnosticSink();
            sink.Note(code, "a");
            Assert.Equal(code.Kind == DiagnosticKind.Loss ? Severity.Warning : Severity.Note, sink.Collected[0].Severity);
        }
    }

    [Fact]
    public void A_strict_run_ends_with_the_losses_and_with_nothing_else()
    {
        var sink = new DiagnosticSink();
        sink.Note(DxfCodes.SizeRead, "a");
        sink.Warn(DxfCodes.UnitAssumed, "b");
        LossCheck.Run(sink);
        sink.Warn(FillCodes.MissedFigures, "c");
        sink.Warn(DxfCodes.Lost, "d");
        sink.Warn(DxfCodes.Lost, "e");
        CompileException refused = Assert.Throws<CompileException>(() => LossCheck.Run(sink));
        Assert.Equal(
            "error PC0085: what is written would not be what is drawn: 3 warnings of a loss (PC0385, PC1207), which strictness forbids; fix the drawing, or leave out --strict ('strict: yes' in the job)",
            refused.Message);
        Assert.Equal(DiagnosticKind.Violation, refused.Diagnostic.Code.Kind);
    }
}
