using PatternCompiler.Files;

namespace PatternCompiler.Jobs.Fields;

/// <summary>One file that belongs to a write field.</summary>
/// <param name="Path">Its name, relative to the manifest.</param>
/// <param name="Content">What it holds, e.g. "stream" or "figures".</param>
/// <param name="Bytes">Its size.</param>
/// <param name="Hash">SHA-256 of its content, in hexadecimal.</param>
internal sealed record FieldFile(string Path, string Content, long Bytes, string Hash)
{
    /// <summary>A file that was made, named relative to the manifest.</summary>
    internal static FieldFile Of(BuiltFile file, string manifestPath)
    {
        string folder = System.IO.Path.GetDirectoryName(manifestPath) ?? "";
        string name = folder.Length == 0 ? file.Path : FileSystem.RelativePath(folder, file.Path);
        return new FieldFile(name.Replace('\\', '/'), file.Content, file.Bytes, file.Hash ?? "");
    }
}
