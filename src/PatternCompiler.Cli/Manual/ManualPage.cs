using System.Collections.Immutable;

namespace PatternCompiler.Cli.Manual;

/// <summary>Everything about one command, in the sections that manual pages have (man-pages(7) names them).</summary>
/// <param name="Name">Name of the page, such as "patternc-build".</param>
/// <param name="Sections">The sections in their order.</param>
internal sealed record ManualPage(string Name, ImmutableArray<ManualSection> Sections)
{
    /// <summary>File name among manual pages: section 1 holds the commands of users.</summary>
    public string FileName => Name + ".1";
}
