using System.Text.RegularExpressions;

namespace PatternCompiler.EndToEnd;

/// <summary>
/// Builds shared out by a real scheduler, by make and by ninja, with the commands that the example's page prints: the bytes are
/// those of one build.
/// </summary>
public sealed partial class ClusterTests
{
    [FactWith("sbatch", "slurmctld", "slurmd", "munged")]
    public void A_job_array_builds_what_one_machine_builds()
    {
        using WorkFolder folder = WithExample();
        using var cluster = new SlurmCluster();
        foreach (string line in Lines("sbatch --wait series.sh"))
        {
            cluster.Shell(folder["cluster"], line).Expect(0);
        }

        CompareSeries(folder);
        foreach (string line in Lines("split").Concat(Lines("sbatch --wait --array=1-3 fields.sh")))
        {
            cluster.Shell(folder["cluster"], line).Expect(0);
        }

        CompareFields(folder);
    }

    [FactWith("make", "ninja")]
    public void Make_and_ninja_build_it_too()
    {
        using WorkFolder folder = WithExample();
        foreach (string line in Lines("make -s -j2 -f series.mk"))
        {
            Executable.Shell(folder["cluster"], line).Expect(0);
            CompareSeries(folder);
            Directory.Delete(folder["cluster/out"], recursive: true);
        }

        foreach (string line in Lines("split").Concat(Lines("make -s -j2 -f fields.mk")))
        {
            Executable.Shell(folder["cluster"], line).Expect(0);
        }

        CompareFields(folder);
    }

    /// <summary>The lines of the block of the page that has this one in it.</summary>
    private static string[] Lines(string part)
    {
        string page = File.ReadAllText(Path.Combine(Repository.Root, "examples/cluster/README.md"));
        string block = Block().Matches(page).Select(match => match.Groups[1].Value).Single(text => text.Contains(part, StringComparison.Ordinal));
        return block.Split('\n', StringSplitOptions.RemoveEmptyEntries);
    }

    private static void CompareSeries(WorkFolder folder)
    {
        if (!Directory.Exists(folder["alone/cluster/out"]))
        {
            Executable.Shell(folder["alone/cluster"], "patternc --quiet batch series.yaml").Expect(0);
            Assert.Equal(16, Directory.GetFiles(folder["alone/cluster/out"], "*.stream", SearchOption.AllDirectories).Length);
        }

        Executable.Shell(folder.Path, "diff -r cluster/out/series alone/cluster/out/series").Expect(0);
    }

    private static void CompareFields(WorkFolder folder)
    {
        Executable.Shell(folder["alone/multi-field"], "patternc --quiet build job.yaml").Expect(0);
        Assert.Equal(11, Directory.GetFiles(folder["cluster/out/fields"], "*.stream").Length);
        Executable.Shell(folder.Path, "for f in cluster/out/fields/*.stream; do cmp $f alone/multi-field/out/${f##*/} || exit; done").Expect(0);
    }

    private static WorkFolder WithExample()
    {
        var folder = new WorkFolder();
        foreach (string example in (string[])["cluster", "multi-field", "text-layout"])
        {
            Repository.CopyTo(folder, $"examples/{example}", example);
            Repository.CopyTo(folder, $"examples/{example}", $"alone/{example}");
        }

        return folder;
    }

    [GeneratedRegex("```sh\n(.*?)```", RegexOptions.Singleline)]
    private static partial Regex Block();
}
