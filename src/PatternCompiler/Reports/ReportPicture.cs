using PatternCompiler.Pictures;

namespace PatternCompiler.Reports;

/// <summary>A picture of a report.</summary>
/// <param name="Title">What it shows, a few words.</param>
/// <param name="Caption">What to look for in it.</param>
/// <param name="Facts">What it holds, in figures.</param>
/// <param name="Scene">The picture, bare: its legend is set beside it.</param>
internal sealed record ReportPicture(string Title, string Caption, string Facts, Scene Scene);
