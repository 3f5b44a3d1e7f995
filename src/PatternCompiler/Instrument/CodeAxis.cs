namespace PatternCompiler.Instrument;

/// <summary>Evenly spaced positions of DAC codes along one axis of the sample.</summary>
/// <param name="OriginFemtometres">Position of number 0, in femtometres from the field's centre.</param>
/// <param name="StepFemtometres">Distance between neighbouring codes, above 0. Numbers count towards larger positions.</param>
internal readonly record struct CodeAxis(double OriginFemtometres, double StepFemtometres)
{
    /// <summary>Position of a code, to the nearest femtometre.</summary>
    public long PositionOf(long number) => (long)Math.Floor(OriginFemtometres + number * StepFemtometres + 0.5);

    /// <summary>Where a position lies among the codes, as a real number.</summary>
    public double NumberAt(double femtometres) => (femtometres - OriginFemtometres) / StepFemtometres;
}
