namespace PatternCompiler.Passes.Fill.Automatic;

/// <summary>
/// Finds the finest pair of line pitch and point step: the one whose larger part is smallest, and of those the one with
/// the smaller product; of two alike the one with the wider pitch, which slows the beam down.
/// </summary>
internal sealed class SpacingSearch
{
    private readonly SpacingTrial trial;
    private readonly LayerFill fill;
    private readonly bool hasAreas;

    /// <param name="trial">Tells what a pair means.</param>
    /// <param name="fill">What is given and what is to be chosen.</param>
    /// <param name="hasAreas">False if the pitch does not matter; it is then the same as the step.</param>
    public SpacingSearch(SpacingTrial trial, LayerFill fill, bool hasAreas)
    {
        this.trial = trial;
        this.fill = fill;
        this.hasAreas = hasAreas;
    }

    private bool ChoosesBoth => fill.LinePitch.IsAutomatic && fill.PointStep.IsAutomatic;

    /// <summary>The finest pair that is coarse enough for the hardware and even, or null.</summary>
    public SpacingEffect? Find()
    {
        int largest = Smallest(codes => trial.IsCoarseEnough(PitchOf(codes), StepOf(codes)));
        if (largest == 0)
        {
            return null;
        }

        SpacingEffect chosen = trial.Try(PitchOf(largest), StepOf(largest));
        if (ChoosesBoth && hasAreas)
        {
            int step = Smallest(codes => trial.IsCoarseEnough(PitchOf(largest), StepOf(codes)));
            int pitch = Smallest(codes => trial.IsCoarseEnough(PitchOf(codes), StepOf(largest)));
            chosen = step <= pitch
                ? trial.Try(PitchOf(largest), StepOf(step))
                : trial.Try(PitchOf(pitch), StepOf(largest));
        }

        return chosen;
    }

    /// <summary>The coarsest pair that is even.</summary>
    public SpacingEffect Widest() => trial.Try(PitchOf(trial.WidestCodes()), StepOf(trial.WidestCodes()));

    /// <summary>Which limit keeps the pitch, or the step, from being finer by some codes.</summary>
    public SpacingRule RuleOf(SpacingEffect chosen, int pitch, int step)
    {
        if ((pitch > 0 && !fill.LinePitch.IsAutomatic) || (step > 0 && !fill.PointStep.IsAutomatic))
        {
            return SpacingRule.None;
        }

        // A pitch that follows the step is finer with it.
        pitch = hasAreas || !fill.LinePitch.IsAutomatic ? pitch : step;
        int pitchCodes = chosen.LinePitch.Codes - pitch;
        int stepCodes = chosen.PointStep.Codes - step;
        return (pitch > 0 && pitchCodes < 1) || (step > 0 && stepCodes < 1)
            ? SpacingRule.OneCode
            : trial.Try(PitchOf(pitchCodes), StepOf(stepCodes)).Breaks;
    }

    /// <summary>One code finer in all that is to be chosen, or null where nothing can be finer.</summary>
    public SpacingEffect? Finer(SpacingEffect chosen)
    {
        int pitch = Math.Max(1, chosen.LinePitch.Codes - 1);
        int step = Math.Max(1, chosen.PointStep.Codes - 1);
        SpacingEffect finer = trial.Try(PitchOf(pitch), StepOf(step));
        return finer.LinePitch == chosen.LinePitch && finer.PointStep == chosen.PointStep ? null : finer;
    }

    /// <summary>One code coarser in all that is to be chosen.</summary>
    public SpacingEffect Coarser(SpacingEffect chosen) => trial.Try(PitchOf(chosen.LinePitch.Codes + 1), StepOf(chosen.PointStep.Codes + 1));

    private Spacing PitchOf(int codes) => fill.LinePitch.IsAutomatic ? Spacing.FromCodes(codes) : fill.LinePitch;

    private Spacing StepOf(int codes) => fill.PointStep.IsAutomatic ? Spacing.FromCodes(codes) : fill.PointStep;

    /// <summary>The smallest number of codes that is coarse enough, 0 if not even the widest is; coarser never makes it worse.</summary>
    private int Smallest(Func<int, bool> isCoarseEnough)
    {
        int low = 1;
        int high = trial.WidestCodes();
        if (!isCoarseEnough(high))
        {
            return 0;
        }

        while (low < high)
        {
            int middle = low + (high - low) / 2;
            (low, high) = isCoarseEnough(middle) ? (low, middle) : (middle + 1, high);
        }

        return low;
    }
}
