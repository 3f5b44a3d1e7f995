namespace PatternCompiler.Generate.Patterns;

/// <summary>
/// A zone plate: zone n ends at radius √(n·λ·f + n²·λ²/4) for wavelength λ and focal length f (the exact condition that
/// the path to the focus grows by half a wavelength per zone; E. Hecht, Optics, chapter on Fresnel zones).
/// </summary>
internal static class ZonePlate
{
    public static readonly TestPattern Pattern = new(
        "zone-plate",
        "the odd zones of a zone plate",
        new PatternGuide(
            "Write it as a device, or as the hardest test of curved edges on a coarse DAC: compare with and without edges finer than a step.",
            "Look at the outer zones, where zones are narrowest: broken, stepped or joined?",
            "The outermost zone whose width is even all around is the resolution of the whole chain."),
        [
            PatternParameter.Length("wavelength", "633 nm", "wavelength"),
            PatternParameter.Length("focus", "60 um", "focal length"),
            PatternParameter.Count("zones", 30, "zones, drawn and skipped ones together"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        double wavelength = arguments.Length("wavelength");
        double focus = arguments.Length("focus");
        int zones = arguments.Count("zones");
        long Radius(int n) => (long)Math.Round(Math.Sqrt(n * wavelength * focus + n * n * wavelength * wavelength / 4), MidpointRounding.AwayFromZero);
        for (int n = 1; n <= zones; n += 2)
        {
            PatternDrawing.Require(Radius(n) > Radius(n - 1), "the outermost zones are thinner than one grid step", "use fewer zones");
            drawing.Ring(0, 0, Radius(n - 1), Radius(n));
        }
    }
}
