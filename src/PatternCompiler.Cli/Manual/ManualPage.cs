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

/// <summary>A section of a manual page.</summary>
/// <param name="Heading">Its heading, in capitals.</param>
/// <param name="Blocks">What it says.</param>
internal sealed record ManualSection(string Heading, ImmutableArray<ManualBlock> Blocks);

/// <summary>A paragraph, or a term with its meaning.</summary>
/// <param name="Term">What is explained: an option, a file, a command line; null for a plain paragraph.</param>
/// <param name="Text">The paragraph or the meaning.</param>
internal readonly record struct ManualBlock(string? Term, string Text);
