using System.Diagnostics;
using System.Globalization;
using System.Text.RegularExpressions;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>
/// One run of the model of the link's protocol: SPIN's verdict, read from its verifier's text, since the verifier's exit code is
/// 0 whatever it finds.
/// </summary>
internal sealed partial class LinkModel
{
    private const string Name = "link.pml";
    private static readonly TimeSpan Patience = TimeSpan.FromMinutes(10);

    private LinkModel(string text, HashSet<int> unreached)
    {
        Text = text;
        Unreached = unreached;
    }

    /// <summary>The model.</summary>
    public static string Source => Path.Combine(
        Path.GetDirectoryName(Path.GetDirectoryName(CReceiver.Source))!, "src/PatternCompiler/BackEnds/ExposureStream", Name);

    /// <summary>All that the verifier printed.</summary>
    public string Text { get; }

    /// <summary>Lines of the model of which no statement was ever reached.</summary>
    public HashSet<int> Unreached { get; }

    /// <summary>Faults found; the search stops at the first.</summary>
    public int Errors => int.Parse(ErrorCount().Match(Text).Groups[1].Value, CultureInfo.InvariantCulture);

    /// <summary>Distinct states of the search.</summary>
    public long States => (long)double.Parse(StateCount().Match(Text).Groups[1].Value, CultureInfo.InvariantCulture);

    /// <summary>Every state was looked at, as far as the first fault.</summary>
    public bool IsExhaustive => Text.Contains("Full statespace search for:", StringComparison.Ordinal) &&
        !Text.Contains("max search depth too small", StringComparison.Ordinal) &&
        !Text.Contains("error: max", StringComparison.Ordinal) &&
        !Text.Contains("Search not completed", StringComparison.Ordinal) &&
        !Text.Contains("out of memory", StringComparison.Ordinal);

    /// <summary>Makes the verifier for a variant of the model and runs it.</summary>
    public static LinkModel Run(string defines, string optimisation)
    {
        string folder = Directory.CreateTempSubdirectory("link-model").FullName;
        try
        {
            File.Copy(Source, Path.Combine(folder, Name));
            Assert.DoesNotContain("rror", Start(folder, "spin", [.. defines.Split(' '), "-a", Name]), StringComparison.Ordinal);
            Start(folder, "gcc", [optimisation, "-w", "-DSAFETY", "-DCOLLAPSE", "-o", "pan", "pan.c"]);
            string text = Start(folder, "./pan", ["-m200000"]);
            return new LinkModel(text, Unreachable(text, Start(folder, "./pan", ["-d"])));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    // An inline is expanded wherever it is used; its statement is reached if one of the copies is.
    private static HashSet<int> Unreachable(string text, string states)
    {
        Dictionary<(int Line, string Statement), int> all = Count(StateLine().Matches(states));
        return [.. Count(UnreachedLine().Matches(text))
            .Where(found => all.TryGetValue(found.Key, out int copies) && found.Value >= copies)
            .Select(found => found.Key.Line)];
    }

    private static Dictionary<(int Line, string Statement), int> Count(MatchCollection matches) => matches
        .GroupBy(match => (int.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture), match.Groups[2].Value))
        .ToDictionary(group => group.Key, group => group.Count());

    private static string Start(string folder, string program, string[] arguments)
    {
        string path = program.StartsWith('.') ? Path.Combine(folder, program) : program;
        using Process process = Process.Start(new ProcessStartInfo(path, arguments)
        {
            WorkingDirectory = folder,
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        Task<string> output = process.StandardOutput.ReadToEndAsync();
        if (!process.WaitForExit(Patience))
        {
            process.Kill(entireProcessTree: true);
            throw new TimeoutException($"{program} did not end.");
        }

        Assert.True(process.ExitCode == 0, output.Result + errors.Result);
        return output.Result + errors.Result;
    }

    [GeneratedRegex(@"errors: (\d+)")]
    private static partial Regex ErrorCount();

    [GeneratedRegex(@"([0-9.e+]+) states, stored")]
    private static partial Regex StateCount();

    [GeneratedRegex(@"link\.pml:(\d+) => (.*)$", RegexOptions.Multiline)]
    private static partial Regex StateLine();

    [GeneratedRegex(@"^\tlink\.pml:(\d+), state \d+, ""(?!\(killed\))(.*)""$", RegexOptions.Multiline)]
    private static partial Regex UnreachedLine();
}
