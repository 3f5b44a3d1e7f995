namespace PatternCompiler.Instrument;

/// <summary>Values of one kind that change what is written, as digests of settings take them; each record lists its own.</summary>
/// <param name="Name">What they are.</param>
/// <param name="Numbers">The values in a fixed order: truths are 0 or 1, choices the number of their enumeration, and what is absent is not there.</param>
internal readonly record struct SettingLine(string Name, params double[] Numbers)
{
    /// <summary>A truth as a number.</summary>
    public static double Truth(bool value) => value ? 1 : 0;
}
