using System.Security.Cryptography;
using System.Text;
using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Jobs.Fields;
using PatternCompiler.Model.Figures;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Tests.Passes.Fields;

namespace PatternCompiler.Tests.Jobs.Fields;

/// <summary>A bar of 150 µm in two fields, written as figures of each and a manifest.</summary>
public sealed class FieldSplitTests
{
    private static readonly DividedPattern Divided = FieldCase.Divide(FieldCase.Document(FieldCase.Rectangle(0, 0, 150, 1), FieldCase.Rectangle(140, 3, 141, 4, layer: 1)));

    private static readonly BuildSettings Settings = new(
        DefaultFiles.Job with { Name = "bar" }, DefaultFiles.Machine with { Stage = new Stage(1e6, 3) { OriginNanometres = (1e6, 2e6) } }, DefaultFiles.Process);

    [Theory]
    [InlineData("out/chip-fields.yaml", false, "out/chip")]
    [InlineData("chip.yaml", true, "chip")]
    public void Every_field_has_its_figures_and_the_manifest_lists_them(string manifestPath, bool isBinary, string stem)
    {
        var files = new MemoryFiles();
        IReadOnlyList<BuiltFile> written = FieldSplit.Run(Settings, Divided, manifestPath, isBinary, files, new DiagnosticSink(), CancellationToken.None);
        Assert.Equal([$"{stem}-r01c01.figures", $"{stem}-r01c02.figures", manifestPath], written.Select(file => file.Path));
        Assert.Equal(["figures", "figures", "manifest"], written.Select(file => file.Content));
        Assert.Equal(written.Select(file => (file.Bytes, file.Hash)), written.Select(file => (files.Written[file.Path].LongLength, (string?)Convert.ToHexStringLower(SHA256.HashData(files.Written[file.Path])))));
        FieldManifest manifest = FieldManifestFile.Parse(Encoding.UTF8.GetString(files.Written[manifestPath]), "m");
        Assert.Equal(("bar", Settings.Machine.Name, null), (manifest.JobName, manifest.MachineName, manifest.WriteSeconds));
        for (int i = 0; i < 2; i++)
        {
            FieldVisit visit = manifest.Visits[i];
            Assert.Equal(Divided.Plan.Fields[i], visit.Field);
            Assert.Equal(Divided.Figures[i].Figures.Count, visit.Figures);
            Assert.Equal(1e6 + visit.Field.Centre.X / 10.0, visit.StageXNanometres, 0.1);
            Assert.Equal(2e6 + visit.Field.Centre.Y / 10.0, visit.StageYNanometres, 0.1);
            FieldFile file = Assert.Single(visit.Files);
            Assert.Equal((Path.GetFileName(written[i].Path), "figures", written[i].Bytes, written[i].Hash), (file.Path, file.Content, file.Bytes, file.Hash));
            byte[] bytes = files.Written[written[i].Path];
            Assert.Equal(isBinary, bytes.Contains((byte)0));
            FiguresDocument read = FiguresReader.Read(new MemoryStream(bytes), "f", new DiagnosticSink(), CancellationToken.None);
            Assert.Equal(Divided.Figures[i].Figures, read.Figures);
        }

        Assert.Equal([0, 3 + (Divided.Plan.Fields[1].Centre.X - Divided.Plan.Fields[0].Centre.X) / 1e7], manifest.Visits.Select(visit => Math.Round(visit.MoveSeconds, 9)));
    }

    [Fact]
    public void A_split_that_is_stopped_leaves_nothing()
    {
        var files = new MemoryFiles();
        Assert.Throws<OperationCanceledException>(() => FieldSplit.Run(Settings, Divided, "a.yaml", false, files, new DiagnosticSink(), new CancellationToken(true)));
        Assert.Empty(files.Written);
    }
}
