using PatternCompiler.Pictures;

namespace PatternCompiler.Reports.Html;

/// <summary>Sets a picture into a page, in the page itself, its legend as text beside it.</summary>
internal static class PictureMarkup
{
    private const int MostSvgBytes = 200_000;
    private const int Density = 2;

    /// <summary>Adds a figure.</summary>
    /// <param name="html">The page.</param>
    /// <param name="picture">What to show.</param>
    /// <param name="mostSvgBytes">Lines that take more are set as dots.</param>
    public static void Add(HtmlBuilder html, ReportPicture picture, int mostSvgBytes = MostSvgBytes)
    {
        Scene scene = picture.Scene;
        html.Open("figure").Open("div", ("class", "plate"));
        html.Void(
            "img",
            ("src", DataAddress(scene, mostSvgBytes)),
            ("alt", $"{picture.Title}: {picture.Facts}"),
            ("width", ReportText.Number(scene.Frame.Width)),
            ("height", ReportText.Number(scene.Frame.Height)));
        AddLegend(html, scene);
        html.Close();
        html.Open("figcaption");
        html.Open("p").Element("b", picture.Title + ".").Text($" {string.Join(' ', scene.Notes.Prepend(picture.Caption))}").Close();
        html.Element("p", ReportText.Unbroken(picture.Facts));
        html.Close().Close();
    }

    private static void AddLegend(HtmlBuilder html, Scene scene)
    {
        if (scene.Legend.IsEmpty && scene.TintScale is null)
        {
            return;
        }

        html.Open("ul");
        foreach (LegendEntry entry in scene.Legend)
        {
            html.Open("li").Element("span", "", ("class", ClassOf(entry))).Text(entry.Text).Close();
        }

        if (scene.TintScale is { } tint)
        {
            html.Open("li").Text($"{tint.Title}: {tint.Low}").Element("span", "", ("class", $"key tint {HueClass(tint.Hue)}")).Text(tint.High).Close();
        }

        html.Close();
    }

    private static string ClassOf(LegendEntry entry) => entry.Role switch
    {
        SceneRole.Line => $"key line {HueClass(entry.Hue)}",
        SceneRole.Dot => $"key dot {HueClass(entry.Hue)}",
        SceneRole.Jump => "key jump",
        SceneRole.Start => "key start",
        SceneRole.Finish => "key finish",
        SceneRole.Alarm => "key alarm",
        SceneRole.Raster => "key raster",
        _ => $"key {HueClass(entry.Hue)}",
    };

    private static string HueClass(int hue) => $"hue{hue % Palette.HueCount}";

    /// <summary>Lines where the picture is simple enough, for any enlargement; dots where it is not.</summary>
    private static string DataAddress(Scene scene, int mostSvgBytes)
    {
        using var bytes = new MemoryStream();
        if (scene.Maps.IsEmpty)
        {
            SceneRenderer.RenderSvg(scene, bytes);
            if (bytes.Length <= mostSvgBytes)
            {
                return "data:image/svg+xml;base64," + Convert.ToBase64String(bytes.GetBuffer(), 0, (int)bytes.Length);
            }

            bytes.SetLength(0);
        }

        SceneRenderer.RenderPng(scene, bytes, Density);
        return "data:image/png;base64," + Convert.ToBase64String(bytes.GetBuffer(), 0, (int)bytes.Length);
    }
}
