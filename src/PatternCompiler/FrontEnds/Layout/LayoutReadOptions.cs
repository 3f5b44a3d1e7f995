using System.Collections.Immutable;
using PatternCompiler.Limits;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>What the reader of the text layout needs besides the text.</summary>
internal sealed record LayoutReadOptions
{
    /// <summary>Nothing overridden, includes refused.</summary>
    public static LayoutReadOptions Default { get; } = new();

    /// <summary>
    /// Formulas that replace those of top-level <c>let</c> statements, by parameter name, e.g. "pitch" = "2.5 um".
    /// A name that no <c>let</c> defines is an error.
    /// </summary>
    public ImmutableSortedDictionary<string, string> Parameters { get; init; } =
        ImmutableSortedDictionary.Create<string, string>(StringComparer.Ordinal);

    /// <summary>
    /// Opens an included file: takes the name as written and the name of the file that includes it; null if there is no
    /// such file. The reader disposes of the stream. Without it, <c>include</c> is an error.
    /// </summary>
    public Func<string, string, IncludedFile?>? OpenInclude { get; init; }

    /// <summary>
    /// How many statements <c>repeat</c> may run, where a long line counts once for every 32 characters, how many letters are
    /// drawn (each counts for four statements), and how long lines are.
    /// </summary>
    public WorkLimits Limits { get; init; } = WorkLimits.Usual;
}
