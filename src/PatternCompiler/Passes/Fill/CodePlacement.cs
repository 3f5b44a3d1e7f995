namespace PatternCompiler.Passes.Fill;

/// <summary>How lines and points sit on DAC codes.</summary>
public enum CodePlacement
{
    /// <summary><see cref="Weighted"/> along an axis whose spacing is in codes, <see cref="Rounded"/> otherwise.</summary>
    Automatic,

    /// <summary>
    /// Lines and points stand where they tile the figure evenly; scaling rounds each to its nearest code. An edge is off
    /// by up to half a code.
    /// </summary>
    Rounded,

    /// <summary>
    /// Lines and points stand on codes only, and their doses are weighted so that each figure's charge and centroid are
    /// those of the ideal figure: an edge moves by hundredths of a code. With a spacing in codes every n-th code of the
    /// field is used; with a spacing in nanometres the codes nearest to an even spread over the figure.
    /// </summary>
    Weighted,

    /// <summary>
    /// Every n-th code of the field whose centre lies inside the figure, all with the same dose: the plain rule, off by
    /// up to half a spacing. Only for spacings in codes, or in a raster, where pixels are then on or off instead of grey
    /// by the area that is covered.
    /// </summary>
    Centre,
}
