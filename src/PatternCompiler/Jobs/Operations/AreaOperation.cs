using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs.Yaml;

namespace PatternCompiler.Jobs.Operations;

/// <summary>One operation of a job: a layer made from others.</summary>
/// <param name="Layer">The layer that receives the area; it may be new, or replace one.</param>
/// <param name="Area">What it receives.</param>
public sealed record AreaOperation(string Layer, LayerExpression Area)
{
    /// <summary>An operation in one line, <c>RESULT=AREA</c>, the area in words as in a job file.</summary>
    /// <param name="text">The line.</param>
    /// <param name="name">What errors call the area.</param>
    /// <returns>The operation, or null without a result and an area.</returns>
    /// <exception cref="CompileException">The area is none.</exception>
    public static AreaOperation? Parse(string text, string name)
    {
        string[] sides = text.Split('=', 2, StringSplitOptions.TrimEntries);
        return sides is [{ Length: > 0 } layer, { Length: > 0 } area]
            ? new AreaOperation(layer, LayerExpressionParser.Parse(new YamlScalar(new YamlSource(null, ""), name, 0, 0, area)))
            : null;
    }
}
