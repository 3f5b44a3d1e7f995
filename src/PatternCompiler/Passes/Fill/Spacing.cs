namespace PatternCompiler.Passes.Fill;

/// <summary>A line pitch or point step: a length on the sample, a whole number of DAC codes, or left to be chosen.</summary>
/// <param name="Nanometres">The length; 0 if the spacing is no length.</param>
/// <param name="Codes">The number of codes; 0 if the spacing is not in codes.</param>
public readonly record struct Spacing(double Nanometres, int Codes)
{
    /// <summary>The finest number of codes that hardware and resist allow.</summary>
    public static Spacing Automatic => default;

    /// <summary>True if the spacing is still to be chosen.</summary>
    public bool IsAutomatic => this == Automatic;

    /// <summary>True if the spacing counts codes, so that lines or points stand on codes only.</summary>
    public bool IsInCodes => Codes != 0;

    /// <summary>A length on the sample.</summary>
    public static Spacing FromNanometres(double nanometres) => new(nanometres, 0);

    /// <summary>A whole number of codes.</summary>
    public static Spacing FromCodes(int codes) => new(0, codes);
}
