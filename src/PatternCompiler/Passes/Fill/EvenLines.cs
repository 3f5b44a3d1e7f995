namespace PatternCompiler.Passes.Fill;

/// <summary>How even the dose under endless even lines, or under the points of a line, is. The beam is a Gaussian.</summary>
internal static class EvenLines
{
    /// <summary>
    /// Relative amplitude about the mean of endless even lines at pitch p: 2·exp(−2π²σ²/p²), the first harmonic of the
    /// Poisson sum. The second harmonic is smaller by exp(−6π²σ²/p²): below 2.5% of the first for p up to 4σ.
    /// </summary>
    /// <param name="deviation">Standard deviation σ of the beam's cross-section, in any unit.</param>
    /// <param name="pitch">Pitch in the same unit, above zero.</param>
    public static double Ripple(double deviation, double pitch)
    {
        double ratio = deviation / pitch;
        return 2 * Math.Exp(-2 * Math.PI * Math.PI * ratio * ratio);
    }

    /// <summary>The pitch at which even lines ripple by so much: the inverse of <see cref="Ripple"/>.</summary>
    public static double WidestPitch(double deviation, double ripple) =>
        deviation * Math.PI * Math.Sqrt(2 / Math.Log(2 / ripple));
}
