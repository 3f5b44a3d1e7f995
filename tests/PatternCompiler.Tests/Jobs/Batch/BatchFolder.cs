using System.Collections.Immutable;
using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Batch;
using PatternCompiler.Jobs.Build;

namespace PatternCompiler.Tests.Jobs.Batch;

/// <summary>A fresh folder with jobs, and the real disk as the place of a batch's files.</summary>
internal sealed class BatchFolder : IDisposable
{
    private const string Drawing = """
        layout 1
        unit um
        layer pads
        let size = 1
        rect on pads from (0, 0) to (size, 1)
        """;

    public BatchFolder()
    {
        Root = Directory.CreateTempSubdirectory("batch ").FullName;
        Write("chip.layout", Drawing);
        Write("machine.yaml", DefaultFiles.MachineText);
    }

    public string Root { get; }

    /// <summary>Happens whenever a build opens a drawing, before it is read.</summary>
    public Action? Opening { get; set; }

    public string PathOf(string name) => Path.Combine(Root, name);

    public void Write(string name, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(PathOf(name))!);
        File.WriteAllText(PathOf(name), text);
    }

    public void WriteJob(string name, string drawing = "chip.layout", string more = "") => Write(
        name,
        $$"""
        job: {{Path.GetFileNameWithoutExtension(name)}}
        machine: machine.yaml
        sources: [{{drawing}}]
        outputs: [{file: {{Path.ChangeExtension(name, ".stream")}}, format: stream}]
        {{more}}
        """);

    public ImmutableArray<EntryResult> Run(BatchPlan plan, string version = "1.0", int parallel = 2, bool rebuildAll = false, bool isStrict = false) =>
        BatchRunner.Run(
            plan,
            new BatchOptions(version, PathOf(BatchOptions.RecordsFolderName), parallel) { RebuildAll = rebuildAll, IsStrict = isStrict },
            () => new DiskFiles(Opening),
            null,
            CancellationToken.None);

    /// <summary>The first output of a build without a batch.</summary>
    public static byte[] Build(BuildSettings settings)
    {
        BuildRunner.Run(settings, new DiskFiles(null), new DiagnosticSink(), CancellationToken.None);
        return File.ReadAllBytes(settings.Job.Outputs[0].Path);
    }

    public BatchPlan Jobs(params string[] names) => BatchPlan.OfJobs(names.Select(PathOf));

    /// <summary>Lets a file look older than any record, as the files of a real project are.</summary>
    public void Age(string name) =>
        File.SetLastWriteTimeUtc(PathOf(name), DateTime.Parse("2001-01-01T00:00:00Z", CultureInfo.InvariantCulture, DateTimeStyles.AdjustToUniversal));

    public void Dispose() => Directory.Delete(Root, recursive: true);

    private sealed class DiskFiles(Action? opening) : IBuildFiles
    {
        public Stream OpenDrawing(string path)
        {
            opening?.Invoke();
            return File.OpenRead(path);
        }

        public IncludedFile? OpenInclude(string name, string from)
        {
            string path = Path.Combine(Path.GetDirectoryName(from)!, name);
            return File.Exists(path) ? new IncludedFile(File.OpenRead(path), path) : null;
        }

        public IBuildOutput Create(string path, bool isBinary)
        {
            Directory.CreateDirectory(Path.GetDirectoryName(path)!);
            return new DiskOutput(path);
        }
    }

    private sealed class DiskOutput(string path) : IBuildOutput
    {
        private readonly FileStream stream = File.Create(path + ".partial");

        public Stream Stream => stream;

        public void Close() => stream.Dispose();

        public void Commit()
        {
            stream.Dispose();
            File.Move(path + ".partial", path, overwrite: true);
        }

        public void Dispose()
        {
            stream.Dispose();
            File.Delete(path + ".partial");
        }
    }
}
