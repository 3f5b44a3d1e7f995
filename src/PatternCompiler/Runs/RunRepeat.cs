using System.Collections.Immutable;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Runs;

/// <summary>A job built again for a run of a log.</summary>
/// <param name="Output">The output that has the bytes which were sent; null if none has.</param>
/// <param name="Differences">
/// What differs from then: version, inputs and settings; or, where these are the same and the bytes are not, what the build has made of them.
/// </param>
internal sealed record RunRepeat(BuiltFile? Output, ImmutableArray<ItemDifference> Differences)
{
    private const string ProvenanceName = "patternc-repeated.json";
    private static readonly string[] Causes = ["toolVersion", "inputs", "settings"];

    /// <summary>Builds the job. Outputs go nowhere, but that which was sent.</summary>
    /// <param name="sent">The run's stream: its hash and its provenance.</param>
    /// <param name="settings">Job, machine and process as they are now.</param>
    /// <param name="files">Where drawings come from.</param>
    /// <param name="target">Takes the bytes of the output that was sent, whether they are the same or not.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the build.</param>
    public static RunRepeat Build((string Sha256, JsonElement Provenance) sent, BuildSettings settings, IBuildFiles files, Stream target, DiagnosticSink sink, CancellationToken cancellation)
    {
        var names = new ReportNames(settings.Job.File);
        string? name = ProvenanceOutputs.NameOf(sent.Provenance, sent.Sha256);
        var kept = new RepeatedFiles(files, path => names.Of(path) == name, target);
        BuildSummary summary = BuildRunner.Run(settings with { Job = settings.Job with { ProvenancePath = ProvenanceName } }, kept, sink, cancellation);
        using JsonDocument now = JsonDocument.Parse(kept.Provenance.ToArray());
        ImmutableArray<ItemDifference> differences = ProvenanceComparer.Differences(sent.Provenance, now.RootElement);

        // The length of an input follows from what its hash says.
        ImmutableArray<ItemDifference> causes =
            [.. differences.Where(item => Causes.Any(cause => item.Place.StartsWith(cause, StringComparison.Ordinal)) && !item.Place.EndsWith("].bytes", StringComparison.Ordinal))];
        BuiltFile? output = summary.Files.FirstOrDefault(file => names.Of(file.Path) == name && file.Hash == sent.Sha256);
        return new RunRepeat(output, causes.IsEmpty && output is null ? differences : causes);
    }

    private sealed class RepeatedFiles(IBuildFiles files, Func<string, bool> isSent, Stream target) : IBuildFiles
    {
        public MemoryStream Provenance { get; } = new();

        public Stream OpenDrawing(string path) => files.OpenDrawing(path);

        public IncludedFile? OpenInclude(string name, string from) => files.OpenInclude(name, from);

        public IBuildOutput Create(string path, bool isBinary) => new PassedOutput(path == ProvenanceName ? Provenance : isSent(path) ? target : Stream.Null);
    }

    private sealed class PassedOutput(Stream stream) : IBuildOutput
    {
        public Stream Stream => stream;

        public void Close() => stream.Flush();

        public void Commit() => Close();

        public void Dispose()
        {
        }
    }
}
