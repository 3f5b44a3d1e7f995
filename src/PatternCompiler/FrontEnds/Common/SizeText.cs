using System.Globalization;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Common;

/// <summary>The size of a drawing, for the note that tells how it was read.</summary>
internal static class SizeText
{
    /// <summary>
    /// For example "82 × 40 um". A cell turned by other than quarter turns counts with the box around its turned box: then the
    /// size is an upper bound, and says so.
    /// </summary>
    public static string Of(LayoutDocument layout)
    {
        if (LayoutExtent.Of(layout) is not { } extent)
        {
            return "empty";
        }

        double micrometres = layout.GridPicometres * 1e-6;
        return $"{(LayoutExtent.IsUpperBound(layout) ? "at most " : "")}{Number(extent.Width * micrometres)} × {Number(extent.Height * micrometres)} um";
    }

    private static string Number(double value) => value.ToString("G6", CultureInfo.InvariantCulture);
}
