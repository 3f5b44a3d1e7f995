namespace PatternCompiler.Oracles.FrontEnds;

/// <summary>A headless Chromium (Debian package chromium) that opens one page and says what it made of it.</summary>
internal static class Chromium
{
    /// <summary>The document of a page after its scripts have run.</summary>
    public static string Document(string page) => Run(page, folder => ["--dump-dom"], (output, _) => output);

    /// <summary>A picture of a page, as PNG.</summary>
    public static byte[] Picture(string page, int width, int height) => Run(
        page,
        folder => [$"--screenshot={Path.Combine(folder, "picture.png")}", $"--window-size={width},{height}", "--force-device-scale-factor=1", "--hide-scrollbars"],
        (_, folder) => File.ReadAllBytes(Path.Combine(folder, "picture.png")));

    private static T Run<T>(string page, Func<string, string[]> arguments, Func<string, string, T> result)
    {
        string folder = Directory.CreateTempSubdirectory("patternc-chromium-").FullName;
        try
        {
            string file = Path.Combine(folder, "page.html");
            File.WriteAllText(file, page);
            (int exitCode, string output, string errors) = OutsidePrograms.Run(
                "chromium",
                ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync", "--disable-extensions", "--disable-component-update", $"--user-data-dir={Path.Combine(folder, "profile")}", .. arguments(folder), new Uri(file).AbsoluteUri]);
            Assert.True(exitCode == 0, errors);
            return result(output, folder);
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
