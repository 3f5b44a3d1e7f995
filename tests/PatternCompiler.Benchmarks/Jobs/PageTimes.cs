using System.Globalization;
using System.Text.Json;
using PatternCompiler.EndToEnd.Pages;

namespace PatternCompiler.Benchmarks.Jobs;

/// <summary>When a page that plays shows something in a headless Chromium, and when it has read and drawn everything.</summary>
internal static class PageTimes
{
    private const string Measured = """
        (async () => {
          const canvas = document.getElementById("player-canvas");
          while (canvas.dataset.state !== "idle") await new Promise(done => setTimeout(done, 10));
          const at = name => performance.getEntriesByName(name)[0]?.startTime ?? -1;
          return JSON.stringify([at("first-contentful-paint"), at("player-first-frame"), at("player-read"), performance.now()]);
        })()
        """;

    public static async Task Run(string file, int repeats)
    {
        Console.WriteLine($"{"view",-14}{"first text",14}{"first frame",14}{"all read",14}{"all drawn",14}   milliseconds from the start of loading, median of {repeats}");
        using var browser = new Browser();
        foreach ((int width, int slower) in new[] { (1280, 1), (390, 4) })
        {
            List<double[]> times = [];
            for (int i = 0; i < repeats; i++)
            {
                await browser.LookAt(Path.GetFullPath(file), width, slower: slower);
                times.Add(JsonSerializer.Deserialize<double[]>(await browser.Evaluate(Measured))!);
            }

            IEnumerable<string> medians = Enumerable.Range(0, 4).Select(column => times.Select(row => row[column]).Order().ElementAt(repeats / 2).ToString("0", CultureInfo.InvariantCulture).PadLeft(14));
            Console.WriteLine($"{$"{width} px{(slower > 1 ? $", {slower} × slow" : "")}",-14}{string.Concat(medians)}");
        }
    }
}
