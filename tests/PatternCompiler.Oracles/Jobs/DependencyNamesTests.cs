using System.Collections.Immutable;
using System.Diagnostics;
using System.Text;
using PatternCompiler.Files;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Oracles.Jobs;

/// <summary>
/// GNU make and ninja themselves say which names they take from a dependency file. Every name that we accept must reach both of them
/// as it is; what they do with the others is why we refuse them.
/// </summary>
public sealed class DependencyNamesTests : IDisposable
{
    private const int Names = 1000;

    private static readonly string[] Pieces =
    [
        "a", "b", "Z", "9", "_", "-", "+", ",", ".", "/x", " ", "  ", ":", "#", "$", "$$", "$(x)", "'", "\"", "(", ")", "{", "}", "&", "!", "@", "~", "]",
        "é", "中", "\udcff", "\udc80", "=", "%", ";", "|", "<", ">", "*", "?", "[", "^", "`", "\\", "\n", "\t", "\u007f", "\u001b", "include", "define", "PHONY",
    ];

    private readonly string folder = Directory.CreateTempSubdirectory("patternc-depend-").FullName;

    public void Dispose()
    {
        using Process remove = Process.Start("rm", ["-rf", "--", folder]);
        remove.WaitForExit();
    }

    [Fact]
    public void Make_and_ninja_take_every_accepted_name_as_it_is()
    {
        if (!IsInstalled("make") || !IsInstalled("ninja"))
        {
            Assert.True(Environment.GetEnvironmentVariable("CI") is null, "make and ninja are not installed");
            return;
        }

        string[] accepted = [.. RandomNames().Where(name => DependencyFile.FaultOf(name) is null).Take(Names)];
        string[] inputs = [.. accepted[..(Names / 2)].Select(name => "i" + name)];
        string[] starts = accepted[(Names / 2)..];
        Assert.Equal(Names, accepted.Length);
        CheckMake(starts, inputs);
        CheckNinja(starts, inputs);
    }

    [Theory]
    [InlineData("x=\nall:;id>HERE", "'='")]
    [InlineData("a\nb", "'\n'")]
    [InlineData("a%b", "'%'")]
    [InlineData("a;id", "';'")]
    [InlineData("a*", "'*'")]
    [InlineData("~root", "'~' at its start")]
    [InlineData("lib(a)", "')' at its end")]
    [InlineData("chip (1).dxf", null)]
    [InlineData("a&b", "'&'")]
    [InlineData("a ", "a colon or blank at its end")]
    [InlineData(".PHONY", "a point at its start and nothing but letters behind it")]
    [InlineData("include", "a word of make's own")]
    [InlineData("a:", "a colon or blank at its end")]
    [InlineData("a:b #$.layout", null)]
    [InlineData("sub/include", null)]
    public void Others_are_refused(string name, string? fault) => Assert.Equal(fault, DependencyFile.FaultOf(name));

    private void CheckMake(string[] outputs, string[] inputs)
    {
        var results = outputs.Zip(inputs, (output, input) => Result([output], [input])).Append(Result(["all"], outputs));
        File.WriteAllBytes(Path.Combine(folder, "make.d"), DependencyFile.Print(results, folder));

        // A rule for anything tells what make has understood: the target and what it is made from.
        File.WriteAllText(Path.Combine(folder, "Makefile"), ".SUFFIXES:\nMAKEFLAGS += -r\nall:\ninclude make.d\nMakefile make.d: ;\n%: ; $(info $@|$^)\n");
        HashSet<string> told = [.. Run("make", "-s", "-f", "Makefile").Split('\n')];
        Assert.All(outputs.Zip(inputs), rule => Assert.Contains($"{rule.First}|{rule.Second}", told));
    }

    private void CheckNinja(string[] outputs, string[] inputs)
    {
        foreach (string output in outputs)
        {
            string path = Path.Combine(folder, output);
            FileSystem.CreateFolder(Path.GetDirectoryName(path)!);
            FileSystem.CreateOrEmpty(path).Dispose();
        }

        File.WriteAllBytes(Path.Combine(folder, "saved.d"), DependencyFile.Print([Result(outputs, inputs)], folder));
        string list = string.Join(' ', outputs.Select(NinjaName));
        File.WriteAllBytes(
            Path.Combine(folder, "build.ninja"),
            FileName.Encode($"rule r\n  command = cp saved.d now.d\n  depfile = now.d\n  deps = gcc\nbuild {list}: r\n"));

        // Ninja refuses outputs in the file that it does not know; then it shows what it has kept of the inputs.
        Run("ninja", "--quiet");
        HashSet<string> told = [.. Run("ninja", "-t", "deps").Split('\n').Where(line => line.StartsWith("    ", StringComparison.Ordinal)).Select(line => line[4..])];
        Assert.All(inputs, input => Assert.Contains(input, told));
        Assert.Equal(inputs.Length, told.Count);
    }

    private EntryResult Result(string[] outputs, string[] inputs)
    {
        ImmutableArray<FileStamp> Stamps(string[] names) => [.. names.Select(name => new FileStamp(Path.Combine(folder, name), 0, 0, ""))];
        return new EntryResult(BatchEntry.Of("job.yaml"), EntryOutcome.Built, [], Stamps(inputs), Stamps(outputs), [], null);
    }

    private static string NinjaName(string name) => name.Replace("$", "$$", StringComparison.Ordinal).Replace(" ", "$ ", StringComparison.Ordinal).Replace(":", "$:", StringComparison.Ordinal);

    // Distinct also as folders: no name is a folder on the way to another.
    private static IEnumerable<string> RandomNames()
    {
        var random = new Random(1);
        var seen = new HashSet<string>(StringComparer.Ordinal) { "Makefile", "make.d", "saved.d", "now.d", "build.ninja", "all" };
        while (true)
        {
            string name = string.Concat(Enumerable.Range(0, random.Next(1, 7)).Select(_ => Pieces[random.Next(Pieces.Length)]));
            string first = name.Split('/')[0];
            if (first.Length > 0 && first is not ("." or "..") && seen.Add(first))
            {
                yield return name;
            }
        }
    }

    private string Run(string program, params string[] arguments)
    {
        var start = new ProcessStartInfo(program, arguments) { WorkingDirectory = folder, RedirectStandardOutput = true, RedirectStandardError = true };
        using Process process = Process.Start(start)!;
        Task<string> errors = process.StandardError.ReadToEndAsync();
        var output = new MemoryStream();
        process.StandardOutput.BaseStream.CopyTo(output);
        process.WaitForExit();
        Assert.True(process.ExitCode == 0, $"{program}: {errors.Result}\n{Encoding.UTF8.GetString(output.ToArray())}");
        return FileName.Decode(output.ToArray());
    }

    private static bool IsInstalled(string program) =>
        (Environment.GetEnvironmentVariable("PATH") ?? "").Split(Path.PathSeparator).Any(path => File.Exists(Path.Combine(path, program)));
}
