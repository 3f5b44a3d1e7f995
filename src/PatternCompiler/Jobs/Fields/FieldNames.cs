using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Names of the files of write fields.</summary>
internal static class FieldNames
{
    /// <summary>The name of an output for one field: <c>out/chip.stream</c> becomes <c>out/chip-r01c02.stream</c>.</summary>
    public static string Of(string path, WriteField field) => WithEnding(path, "-" + field.Name, Path.GetExtension(path));

    /// <summary>The manifest's name where the job gives none: <c>out/chip.stream</c> leads to <c>out/chip-fields.yaml</c>.</summary>
    public static string ManifestBeside(string path) => WithEnding(path, "-fields", ".yaml");

    private static string WithEnding(string path, string suffix, string extension) =>
        Path.Combine(Path.GetDirectoryName(path) ?? "", Path.GetFileNameWithoutExtension(path) + suffix + extension);
}
