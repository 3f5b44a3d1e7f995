using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Yaml;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Reads two lengths, such as a place or a size.</summary>
internal static class LengthPair
{
    /// <summary>In nanometres.</summary>
    public static (double X, double Y) Read(YamlNode node)
    {
        IReadOnlyList<YamlNode> items = node.AsList();
        return items.Count == 2
            ? (items[0].AsQuantityIn(Unit.Nanometre), items[1].AsQuantityIn(Unit.Nanometre))
            : throw node.Error(JobCodes.WrongType, $"{node.Name} must be a list of two lengths, but it has {items.Count}", "write for example [10 um, -5 um]");
    }
}
