namespace PatternCompiler.Oracles.Receiver;

/// <summary>A test that runs the model checker SPIN.</summary>
internal sealed class SpinTheoryAttribute : TheoryAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("spin", "spin", "-V");

    public SpinTheoryAttribute() => Skip = Reason;
}
