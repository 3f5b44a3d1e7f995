using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;

namespace PatternCompiler.Model.Carriers;

/// <summary>What the binary carriers have in common.</summary>
internal static class BinaryDocument
{
    private const int MostLayers = 1 << 20;

    /// <summary>Reads the number of layers and their names.</summary>
    public static ImmutableArray<string> ReadLayers(FrameInput input)
    {
        int count = (int)input.Checked("the number of layers", (long)input.Unsigned(), 0, MostLayers);
        var layers = ImmutableArray.CreateBuilder<string>();
        for (int i = 0; i < count; i++)
        {
            layers.Add(input.Name());
        }

        return layers.DrainToImmutable();
    }

    /// <summary>Compares the end mark with what was read.</summary>
    public static void CheckTotal(FrameInput input, string what, long counted)
    {
        if (input.ClaimedItems != counted)
        {
            throw new CompileException(
                DocumentCodes.TotalsDiffer,
                $"the end mark states {input.ClaimedItems} {what}, the document holds {counted}",
                input.CurrentPlace,
                "make the document again; parts of it were lost");
        }
    }
}
