namespace PatternCompiler.Model.Records;

/// <summary>Which settings a document was made for, so that it can be refused where others hold.</summary>
/// <param name="Settings">Digest of the machine's settings.</param>
/// <param name="Exposure">Digest of the process's and the dose settings.</param>
internal readonly record struct MadeFor(SettingsDigest Settings, SettingsDigest Exposure)
{
    /// <summary>True if either is stated.</summary>
    public bool IsStated => Settings.IsStated || Exposure.IsStated;
}
