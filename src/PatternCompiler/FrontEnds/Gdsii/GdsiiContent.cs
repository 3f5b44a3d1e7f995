using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.FrontEnds.Gdsii;

/// <summary>Refuses a drawing in which there is nothing of what was asked for.</summary>
internal static class GdsiiContent
{
    private const int MostListed = 20;

    /// <summary>Looks for every layer that was asked for, and for anything at all.</summary>
    /// <param name="layout">What was read.</param>
    /// <param name="options">What was asked for.</param>
    /// <param name="layers">The layers that were met.</param>
    /// <param name="file">File name for messages.</param>
    public static void Check(LayoutDocument layout, DrawingOptions options, GdsiiLayers layers, string file)
    {
        foreach (string wanted in options.Layers)
        {
            if (!layers.Has(wanted))
            {
                string[] all = [.. layers.Names, .. layers.PassedOver];
                throw new CompileException(GdsiiCodes.UnknownLayer, $"nothing is drawn on layer {wanted}", new(file),
                    all.Length == 0 ? "the drawing is empty" : $"there is something on: {string.Join(", ", all.Take(MostListed))}");
            }
        }

        if (LayoutExtent.Of(layout) is null)
        {
            throw new CompileException(GdsiiCodes.NothingDrawn, $"cell {layout.TopCell} has nothing that can be exposed", new(file),
                "choose another cell or other layers");
        }
    }
}
