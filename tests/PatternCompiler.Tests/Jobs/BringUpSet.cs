using System.Globalization;
using System.Net;
using System.Text;
using System.Text.RegularExpressions;
using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Passes;

namespace PatternCompiler.Tests.Jobs;

/// <summary>A bring-up of a machine, read back from its files: streams as records, the page as text.</summary>
internal sealed partial class BringUpSet
{
    private readonly string page;

    public BringUpSet(string machine, double lineCoulombsPerMetre = 5e-7)
    {
        Settings = new BuildSettings(DefaultFiles.Job, MachineFile.Parse(machine, "m.yaml"), DefaultFiles.Process);
        new BringUpFiles(Settings, lineCoulombsPerMetre, "bench").Write(Files, CancellationToken.None);

        // Dozens of files are not held open until the last one is made.
        Assert.Empty(Files.CommittedOpen);
        page = Encoding.UTF8.GetString(Files.Written["bench/index.html"]);
    }

    public MemoryFiles Files { get; } = new();

    public BuildSettings Settings { get; }

    public Machine Machine => Settings.Machine;

    /// <summary>Names of the streams' files without folder and ending, in order.</summary>
    public string[] Names => [.. Files.Written.Keys.Where(name => name.EndsWith(".stream", StringComparison.Ordinal)).Select(name => name[6..^7]).Order(StringComparer.Ordinal)];

    /// <summary>What a receiver would read of the one step whose name ends so.</summary>
    public (RecordsHeader Header, List<DeflectionRecord> Records) Decoded(string ending)
    {
        var sink = new CollectingSink<RecordsHeader, DeflectionRecord>();
        var doubts = new DiagnosticSink();
        ExposureStreamReader.Read(new MemoryStream(Files.Written[$"bench/{Name(ending)}.stream"]), ending, new RecordsChecker(sink), doubts, CancellationToken.None);
        Assert.Empty(doubts.Collected);
        Assert.True(sink.HasEnded);
        return (sink.Header!, sink.Items);
    }

    /// <summary>The value that the page gives for something in a step.</summary>
    public string Fact(string ending, string name)
    {
        Match row = Regex.Match(Section(ending), $"<th scope=\"row\">{Regex.Escape(name)}</th>\\s*<td>([^<]*)</td>");
        Assert.True(row.Success, $"{name} of {ending}");
        return WebUtility.HtmlDecode(row.Groups[1].Value);
    }

    /// <summary>Rows of the table with a caption in a step.</summary>
    public string[][] Table(string ending, string caption)
    {
        string section = Section(ending);
        int start = section.IndexOf($": {caption}</caption>", StringComparison.Ordinal);
        Assert.True(start > 0, caption);
        string body = section[start..section.IndexOf("</table>", start, StringComparison.Ordinal)].Replace("<wbr>", "", StringComparison.Ordinal);
        return [.. Row().Matches(body[body.IndexOf("<tbody>", StringComparison.Ordinal)..]).Select(row => Cell().Matches(row.Value).Select(cell => WebUtility.HtmlDecode(cell.Groups[1].Value)).ToArray())];
    }

    /// <summary>The text of a step.</summary>
    public string Section(string ending)
    {
        int start = page.IndexOf($"<section aria-labelledby=\"step-{int.Parse(Name(ending)[..2], CultureInfo.InvariantCulture)}\"", StringComparison.Ordinal);
        Assert.True(start > 0, ending);
        int end = page.IndexOf("<section aria-labelledby", start + 1, StringComparison.Ordinal);
        return page[start..(end < 0 ? page.Length : end)];
    }

    private string Name(string ending) => Names.Single(name => name[3..] == ending);

    [GeneratedRegex("<tr>.*?</tr>", RegexOptions.Singleline)]
    private static partial Regex Row();

    [GeneratedRegex("<t[hd][^>]*>([^<]*)</t[hd]>")]
    private static partial Regex Cell();
}
