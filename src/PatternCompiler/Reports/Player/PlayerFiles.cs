namespace PatternCompiler.Reports.Player;

/// <summary>Script and style of a page that plays records, as they lie beside this file.</summary>
internal static class PlayerFiles
{
    /// <summary>The script.</summary>
    public static string Script { get; } = Read("PlayerReading.js") + Read("Player.js");

    /// <summary>The style sheet.</summary>
    public static string Style { get; } = Read("Player.css");

    private static string Read(string name)
    {
        using Stream file = typeof(PlayerFiles).Assembly.GetManifestResourceStream(name) ?? throw new InvalidOperationException($"The resource {name} is missing.");
        using var reader = new StreamReader(file);
        return reader.ReadToEnd();
    }
}
