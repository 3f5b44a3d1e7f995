using System.Collections.Immutable;

namespace PatternCompiler.Generate.BringUp;

/// <summary>The steps of a bring-up in their order: nothing is asked of a part before those that it rests on have been seen.</summary>
internal static class BringUpLadder
{
    /// <summary>Dose of what is written on scrap, unless another is asked for: enough to be seen in most resists, developed or not (common practice, no source).</summary>
    public const double UsualCoulombsPerMetre = 5e-7;

    /// <summary>Those that a machine needs: without a blanker there is none to test, and nothing to test it with.</summary>
    public static ImmutableArray<BringUpStep> Steps(BringUpBench bench)
    {
        bool hasBlanker = bench.Machine.Blanker.IsPresent;
        BringUpStep?[] steps =
        [
            HoldAndRamp.Hold(bench),
            HoldAndRamp.Ramp(bench),
            Squares.AtOutputs(bench),
            Staircase.Step(bench),
            Circle.AtOutputs(bench),
            hasBlanker ? BlankerChirp.AtOutput(bench) : null,
            ScanEnable.Step(bench),
            Unplugged.AtOutputs(bench),
            Squares.AtLoad(bench),
            Circle.AtLoad(bench),
            hasBlanker ? BlankerChirp.AtLoad(bench) : null,
            hasBlanker ? Unplugged.OnCup(bench) : null,
            hasBlanker ? BlankerChirp.OnCup(bench) : null,
            hasBlanker ? ScrapCircle.Blanked(bench) : null,
            ScrapCircle.Written(bench),
        ];
        return [.. steps.OfType<BringUpStep>().Select((step, i) => step with { Number = i + 1 })];
    }
}
