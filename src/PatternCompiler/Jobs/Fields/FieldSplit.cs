using System.Collections.Immutable;
using PatternCompiler.Checks;
using PatternCompiler.Diagnostics;
using PatternCompiler.Model;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>Writes the figures of every write field into a file of its own, and the manifest that lists them.</summary>
internal static class FieldSplit
{
    private const string ManifestSuffix = "-fields";

    /// <summary>Writes a divided pattern. All files get their names at the end, or none does.</summary>
    /// <param name="settings">Job and machine.</param>
    /// <param name="divided">The pattern.</param>
    /// <param name="manifestPath">Name of the manifest, from which those of the figures are made.</param>
    /// <param name="isBinary">Figures in their compact form.</param>
    /// <param name="files">Where they go.</param>
    /// <param name="sink">Takes notes.</param>
    /// <param name="cancellation">Stops the work; no file is left.</param>
    /// <returns>The files, the manifest last.</returns>
    public static IReadOnlyList<BuiltFile> Run(
        BuildSettings settings,
        DividedPattern divided,
        string manifestPath,
        bool isBinary,
        IBuildFiles files,
        DiagnosticSink sink,
        CancellationToken cancellation)
    {
        using var outputs = new BuildOutputs(files, hashes: true);
        FieldPlan plan = divided.Plan;
        IReadOnlyList<TourStop> tour = StageTour.Of(plan, settings.Machine, sink);
        string pattern = FiguresPath(manifestPath);
        var visits = ImmutableArray.CreateBuilder<FieldVisit>(plan.Fields.Length);
        for (int i = 0; i < plan.Fields.Length; i++)
        {
            FiguresDocument figures = divided.Figures[i];
            Stream stream = outputs.Create(FieldNames.Of(pattern, plan.Fields[i]), "figures", isBinary);
            IDocumentSink<FiguresHeader, Figure> writer = isBinary ? new FiguresBinaryWriter(stream) : new FiguresTextWriter(stream);
            figures.PushTo(new FiguresChecker(writer), cancellation);
            (TourStop stop, FieldFile[] made) = (tour[i], [.. outputs.Close().Select(file => FieldFile.Of(file, manifestPath))]);
            visits.Add(new FieldVisit(plan.Fields[i], stop.Reading.X, stop.Reading.Y, figures.Figures.Count, stop.MoveSeconds, null, [.. made]) { Details = stop.Details });
        }

        var manifest = new FieldManifest(settings.Job.Name, settings.Machine.Name, plan, visits.DrainToImmutable());
        FieldManifestText.Write(manifest, outputs.Create(manifestPath, "manifest", isBinary: false));
        IReadOnlyList<BuiltFile> written = outputs.Files;
        outputs.Commit();
        return written;
    }

    /// <summary><c>out/chip-fields.yaml</c> leads to <c>out/chip.figures</c>, to which fields add their names.</summary>
    private static string FiguresPath(string manifestPath)
    {
        string stem = Path.GetFileNameWithoutExtension(manifestPath);
        stem = stem.EndsWith(ManifestSuffix, StringComparison.Ordinal) ? stem[..^ManifestSuffix.Length] : stem;
        return Path.Combine(Path.GetDirectoryName(manifestPath) ?? "", stem + ".figures");
    }
}
