namespace PatternCompiler.Files;

/// <summary>A name in a folder.</summary>
/// <param name="Name">The name alone.</param>
/// <param name="IsFolder">It is a folder, or a link to one.</param>
/// <param name="IsLink">It is a link.</param>
internal readonly record struct FolderEntry(string Name, bool IsFolder, bool IsLink);
