using System.Collections.Immutable;
using System.Text.RegularExpressions;
using PatternCompiler.Cli.Terminal;
using PatternCompiler.Diagnostics;
using PatternCompiler.Pictures;
using PatternCompiler.Reports;
using PatternCompiler.Reports.Html;

namespace PatternCompiler.Cli.Comparing;

/// <summary>From a comparison of two folders, or of two documents, to its page.</summary>
internal static partial class FolderPage
{
    // Three fit side by side on a desk.
    private const int PictureWidth = 400;

    /// <summary>Everything that the page shows; pictures are drawn for the first files that differ.</summary>
    /// <param name="first">Name of the first folder or document.</param>
    /// <param name="second">Name of the second.</param>
    /// <param name="comparison">The files.</param>
    /// <param name="pathOf">Names of the two files that a name stands for.</param>
    /// <param name="pair">Reads and draws two documents.</param>
    public static ComparisonContent Of(string first, string second, FolderComparison comparison, Func<string, (string First, string Second)> pathOf, DocumentPair pair)
    {
        int pictured = 0;
        var files = ImmutableArray.CreateBuilder<ComparedFile>(comparison.Files.Length);
        foreach (FileComparison file in comparison.Files)
        {
            ImmutableArray<ReportPicture> pictures = [];
            string? without = null;
            if (file is { Outcome: FileOutcome.Different, Difference: not null })
            {
                (string a, string b) = pathOf(file.Name);
                if (!pair.HasPicture(a))
                {
                    without = "Of settings and results there is no picture.";
                }
                else if (pictured == ComparisonPage.MostPictured)
                {
                    without = $"No pictures: the first {ReportText.Count(pictured, "file", "files")} that differ have some, to keep the page small. ‘patternc compare’ draws these two with --picture.";
                }
                else
                {
                    (pictures, without) = Draw(a, b, pair);
                    pictured++;
                }
            }

            string[] details = [.. FolderReport.Detail(file).Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => Blanks().Replace(Blanks().Replace(line.Trim(), ": ", 1), " "))];
            files.Add(new ComparedFile(file.Name, FolderReport.Words(file.Outcome), file.Outcome == FileOutcome.Same, [.. details], pictures, without));
        }

        return new ComparisonContent(NameOf(first), NameOf(second), VersionAction.Version, FolderReport.Totals(comparison), files.ToImmutable());
    }

    private static (ImmutableArray<ReportPicture> Pictures, string? Without) Draw(string first, string second, DocumentPair pair)
    {
        try
        {
            (Scene a, Scene b, Scene difference) = pair.Pictures(first, second, new PictureOptions { WidthPixels = PictureWidth, IsBare = true });
            return (
                [
                    new ReportPicture("First", "What is expected.", a.Facts, a),
                    new ReportPicture("Second", "What is there, in the same frame.", b.Facts, b),
                    new ReportPicture("Difference", "What only one of them has, over what both have.", difference.Facts, difference),
                ],
                null);
        }
        catch (CompileException failure) when (failure.Diagnostic.Code.Kind == DiagnosticKind.Input)
        {
            return ([], $"No pictures: {failure.Diagnostic.Message}.");
        }
    }

    /// <summary>The last part of a path, so that the page does not depend on where the folders lie.</summary>
    private static string NameOf(string path) => Path.GetFileName(Path.TrimEndingDirectorySeparator(path)) is { Length: > 0 } name ? name : path;

    [GeneratedRegex(" {2,}")]
    private static partial Regex Blanks();
}
