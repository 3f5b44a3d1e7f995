using System.Collections.Immutable;
using System.Security.Cryptography;
using System.Text.Json;
using PatternCompiler.Diagnostics;
using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Build;
using PatternCompiler.Jobs.Provenance;
using PatternCompiler.Jobs.Report;
using PatternCompiler.Prediction.Compare;
using PatternCompiler.Runs.Steps;

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
        ImmutableArray<ItemDifference> causes = Causing(differences);
        BuiltFile? output = summary.Files.FirstOrDefault(file => names.Of(file.Path) == name && file.Hash == sent.Sha256);
        return new RunRepeat(output, causes.IsEmpty && output is null ? differences : causes);
    }

    /// <summary>Builds the streams of a run in steps, each with the current as it was read then.</summary>
    /// <param name="run">The run.</param>
    /// <param name="settings">Job, machine and process as they are now.</param>
    /// <param name="files">Where drawings come from.</param>
    /// <param name="create">Gives a place for the stream of a step, by the step's name; whether it has the bytes that were sent is known at the end.</param>
    /// <param name="sink">Takes notes and warnings.</param>
    /// <param name="cancellation">Stops the build.</param>
    /// <returns>What differs from then; and what each step's bytes are, of which all or not all are the same.</returns>
    public static RepeatedSteps BuildSteps(LoggedRun run, BuildSettings settings, IBuildFiles files, Func<string, Stream> create, DiagnosticSink sink, CancellationToken cancellation)
    {
        CompiledRun now = CompiledRun.Of(settings, files, sink, cancellation);
        ImmutableArray<ItemDifference> causes = run.Provenance is JsonElement then ? Causing(ProvenanceComparer.Differences(then, now.Provenance)) : [];
        var differing = new List<ItemDifference>();
        var same = new List<LoggedStep>();
        if (run.StepCount != now.Steps.Length)
        {
            differing.Add(new ItemDifference("steps", $"{run.StepCount}", $"{now.Steps.Length}"));
        }

        foreach ((int number, LoggedStep sent) in run.Steps.Where(step => step.Value is { Sha256: not null, CurrentAmperes: not null }))
        {
            if (now.Steps.FirstOrDefault(step => step.Name == sent.Name) is not { } step || now.Steps.IndexOf(step) != number - 1)
            {
                differing.Add(new ItemDifference($"steps[{number}].name", sent.Name, number <= now.Steps.Length ? now.Steps[number - 1].Name : null));
                continue;
            }

            using var bytes = new MemoryStream();
            StepCompiler.Write(step, settings.Machine.Beam with { CurrentAmperes = sent.CurrentAmperes!.Value, Later = sent.Later }, settings, bytes, sink, cancellation);
            ReadOnlySpan<byte> written = bytes.GetBuffer().AsSpan(0, (int)bytes.Length);
            create(sent.Name).Write(written);
            string hash = Convert.ToHexStringLower(SHA256.HashData(written));
            if (hash == sent.Sha256)
            {
                same.Add(sent);
            }
            else
            {
                differing.Add(new ItemDifference($"steps[{sent.Name}].sha256", sent.Sha256, hash));
            }
        }

        return new RepeatedSteps([.. same], differing.Count == 0, [.. causes, .. differing]);
    }

    // The length of an input follows from what its hash says.
    private static ImmutableArray<ItemDifference> Causing(ImmutableArray<ItemDifference> differences) =>
        [.. differences.Where(item => Causes.Any(cause => item.Place.StartsWith(cause, StringComparison.Ordinal)) && !item.Place.EndsWith("].bytes", StringComparison.Ordinal))];

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

/// <summary>The steps of a run built again.</summary>
/// <param name="Same">Those with the bytes that were sent.</param>
/// <param name="AreAllSame">There are no others.</param>
/// <param name="Differences">What differs from then: version, inputs and settings first, then steps.</param>
internal sealed record RepeatedSteps(ImmutableArray<LoggedStep> Same, bool AreAllSame, ImmutableArray<ItemDifference> Differences);
