using System.Text.RegularExpressions;

namespace PatternCompiler.EndToEnd;

/// <summary>The version comes from git, by the rules of semver.org: a tagged commit is a release, later ones come before the next.</summary>
public sealed class VersionTests
{
    private const string Commit = "git -c user.name=t -c user.email=t@example.org -c commit.gpgsign=false commit -q --allow-empty -m c";
    private const string Tag = "git -c tag.gpgsign=false tag";

    [FactWith("git", "dotnet")]
    public void Tags_and_commits_make_the_version()
    {
        using var folder = new WorkFolder();
        folder.With("Version.targets", File.ReadAllBytes(Path.Combine(Repository.Root, "src/PatternCompiler.Cli/Version.targets")));
        folder.With("v.proj", "<Project><Import Project=\"Version.targets\" /></Project>");
        Assert.Equal("0.1.0", Version(folder));
        Executable.Shell(folder.Path, $"git init -q && {Commit}").Expect(0);
        Assert.Matches("^0\\.1\\.0\\+g[0-9a-f]{10}$", Version(folder));
        Executable.Shell(folder.Path, $"{Tag} v1.2.9 && {Tag} unrelated").Expect(0);
        Assert.Equal("1.2.9", Version(folder));
        Executable.Shell(folder.Path, $"{Commit} && {Commit}").Expect(0);
        Assert.Matches("^1\\.2\\.10-dev\\.2\\+g[0-9a-f]{10}$", Version(folder));
        Executable.Shell(folder.Path, $"{Tag} v2.0.0").Expect(0);
        Assert.Equal("2.0.0", Version(folder));
    }

    [Fact]
    public void The_changelog_ends_with_versions_of_which_none_is_above_the_program()
    {
        string[] versions =
        [
            .. Regex.Matches(File.ReadAllText(Path.Combine(Repository.Root, "src/PatternCompiler.Cli/CHANGELOG.md")), @"^## (\S+)$", RegexOptions.Multiline)
                .Select(match => match.Groups[1].Value),
        ];
        Assert.NotEmpty(versions);
        Assert.Equal(versions.OrderByDescending(System.Version.Parse), versions);
        using var folder = new WorkFolder();
        string version = Regex.Match(folder.Run("--version").Expect(0).Output, @"\d+\.\d+\.\d+").Value;
        Assert.True(System.Version.Parse(versions[0]) <= System.Version.Parse(version), $"{versions[0]} is not yet {version}");
    }

    private static string Version(WorkFolder folder) =>
        Executable.Shell(folder.Path, "dotnet msbuild v.proj -nologo -t:VersionFromGit -getProperty:InformationalVersion").Expect(0).Output.Trim();
}
