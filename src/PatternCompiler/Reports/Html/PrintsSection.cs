using System.Collections.Immutable;
using PatternCompiler.Prediction;
using PatternCompiler.Units;

namespace PatternCompiler.Reports.Html;

/// <summary>The predicted prints of a batch as small pictures side by side, by the values in which its jobs differ.</summary>
internal sealed class PrintsSection
{
    private const int MostNames = 6;

    // As Base64 they take a third more: the page stays below 2 MB.
    private const long MostPictureBytes = 1_400_000;
    private readonly HtmlBuilder html;
    private readonly IndexContent content;
    private readonly PrintMatrix matrix;
    private readonly SampleWindow? window;
    private readonly HashSet<int> pictured = [];

    private PrintsSection(HtmlBuilder html, IndexContent content)
    {
        this.html = html;
        this.content = content;
        matrix = PrintMatrix.Of(content);
        SampleWindow[] windows = [.. content.Rows.Select(row => row.Print?.Window).OfType<SampleWindow>().Distinct()];
        window = windows.Length == 1 ? windows[0] : null;
        long bytes = 0;
        foreach (int job in matrix.Cells.SelectMany(cell => cell))
        {
            bytes += content.Rows[job].Print?.Png.Length ?? 0;
            if (bytes <= MostPictureBytes)
            {
                pictured.Add(job);
            }
        }
    }

    /// <summary>Adds the section.</summary>
    public static void Add(HtmlBuilder html, IndexContent content)
    {
        html.Element("h2", "Predicted prints", ("id", "prints"));
        if (content.Rows.All(row => row.Print is null))
        {
            html.Element("p", content.Rows.All(row => row.Failure is not null)
                ? "No job was built, so there is nothing to predict from."
                : "Not predicted: the process does not say how energy spreads in the resist. Add ‘spread’ to the process file.");
            return;
        }

        new PrintsSection(html, content).Add();
    }

    private void Add()
    {
        html.Element(
            "p",
            $"Energy in the resist as tint, drawn and printed outlines over it, {(window is { } all ? $"in {Size(all)} around {Centre(all)}" : "each in the part that its report shows")}; each fault has a frame, unless there are more than {PredictedPrint.MostFrames}. The first words below each are the verdict on shapes; a click leads to the report.");
        AddWhatVaries();
        if (matrix.Omitted > 0)
        {
            html.Element("p", $"{ReportText.Count(matrix.Omitted, "job is", "jobs are")} left out here, to keep the page small; all are in the table above.", ("class", "omitted"));
        }

        if (matrix.Cells.Sum(cell => cell.Length) - pictured.Count is int without and > 0)
        {
            html.Element("p", $"{ReportText.Count(without, "picture is", "pictures are")} left out, too; the verdicts are there.", ("class", "omitted"));
        }

        if (matrix.Across >= 0)
        {
            AddMatrix();
        }
        else
        {
            AddRow();
        }
    }

    private void AddWhatVaries()
    {
        if (content.Axes.IsEmpty)
        {
            html.Element("p", content.Rows.Length == 1 ? "There is one job." : "No setting that is a number differs between the jobs: they are in the order of the batch.");
        }

        foreach (int axis in new[] { matrix.Down, matrix.Across })
        {
            if (axis >= 0 && content.Axes[axis].Together is { IsEmpty: false } together)
            {
                html.Element("p", $"With {content.Axes[axis].Name} {CountText.Word(together.Length, "changes", "change")}: {List(together)}.");
            }
        }

        ImmutableArray<string> others = [.. content.Axes.Where((_, i) => i != matrix.Down && i != matrix.Across).Select(axis => axis.Name), .. content.Others];
        if (!others.IsEmpty)
        {
            html.Element("p", $"Between the jobs {CountText.Word(others.Length, "varies", "vary")} besides: {List(others)}.");
        }
    }

    private void AddMatrix()
    {
        string down = content.Axes[matrix.Down].Name;
        string across = content.Axes[matrix.Across].Name;
        string caption = $"Predicted prints: {down} from top to bottom, {across} from left to right";
        ScrollHint.Add(html);
        html.Open("section", ("class", "scroll"), ("tabindex", "0"), ("aria-label", caption));
        html.Open("table", ("class", "prints"));
        html.Element("caption", caption);
        html.Open("thead").Open("tr");
        html.Element("th", $"{down} ↓ {across} →", ("scope", "col"));
        foreach (IndexValue column in matrix.Columns)
        {
            html.Element("th", column.Text, ("scope", "col"));
        }

        html.Close().Close().Open("tbody");
        for (int row = 0; row < matrix.Rows.Length; row++)
        {
            html.Open("tr").Element("th", matrix.Rows[row].Text, ("scope", "row"));
            for (int column = 0; column < matrix.Columns.Length; column++)
            {
                html.Open("td");
                ImmutableArray<int> cell = matrix.Cells[row * matrix.Columns.Length + column];
                if (cell.IsEmpty)
                {
                    html.Element("p", "not in this batch", ("class", "hole"));
                }

                foreach (int job in cell)
                {
                    AddPrint(job);
                }

                html.Close();
            }

            html.Close();
        }

        html.Close().Close().Close();
    }

    private void AddRow()
    {
        html.Open("ul", ("class", "prints"));
        foreach (int job in matrix.Cells.SelectMany(cell => cell))
        {
            html.Open("li");
            AddPrint(job);
            html.Close();
        }

        html.Close();
    }

    private void AddPrint(int job)
    {
        IndexRow row = content.Rows[job];
        string label = LabelOf(row);
        if (row.Print is not { } print)
        {
            html.Open("p", ("class", "hole"));
            if (row.Failure is not null)
            {
                html.Element("a", "failed", ("href", "#failures"));
            }
            else
            {
                html.Text("not predicted");
            }

            html.Text(" ").Element("span", label, ("class", "given")).Close();
            return;
        }

        html.Open("p", ("class", "print"));
        if (row.Link is { } link)
        {
            html.Open("a", ("href", Uri.EscapeDataString(link)));
        }

        if (pictured.Contains(job))
        {
            html.Void(
                "img",
                ("src", "data:image/png;base64," + Convert.ToBase64String(print.Png.AsSpan())),
                ("alt", $"Predicted print, {label}"),
                ("width", "200"),
                ("height", "160"));
        }
        else
        {
            html.Text("Report");
        }

        if (row.Link is not null)
        {
            html.Close();
        }

        html.Element("b", print.Verdict, ("class", print.IsSound ? "fits" : "doubt-text"));
        html.Element("span", label, ("class", "given"));
        if (print.HasEdges)
        {
            html.Element("span", $"edges {ReportText.Signed(print.MeanNanometres)}, 3σ {ReportText.Nanometres(print.ThreeSigmaNanometres, 3)}", ("class", "given"));
        }

        if (window is null)
        {
            html.Element("span", $"{Size(print.Window)} around {Centre(print.Window)}", ("class", "given"));
        }

        html.Close();
    }

    /// <summary>The values of a job, those of rows and columns first; its name where it has none.</summary>
    private string LabelOf(IndexRow row)
    {
        if (row.Values.IsEmpty && row.OtherWords.IsEmpty)
        {
            return row.Name;
        }

        IEnumerable<int> axes = Enumerable.Range(0, row.Values.Length).OrderBy(i => i == matrix.Down ? 0 : i == matrix.Across ? 1 : 2);
        string[] parts = [.. axes.Select(i => $"{content.Axes[i].Name} {row.Values[i].Text}"), .. row.OtherWords.Select((word, i) => $"{content.Others[i]} {word}")];
        return string.Join(", ", parts.Take(MostNames)) + (parts.Length > MostNames ? ", …" : "");
    }

    private static string List(ImmutableArray<string> names) =>
        string.Join(", ", names.Take(MostNames)) + (names.Length > MostNames ? $" and {ReportText.Count(names.Length - MostNames, "more setting", "more settings")}" : "");

    private static string Size(SampleWindow w) => $"{ReportText.Nanometres(w.Right - w.Left)} × {ReportText.Nanometres(w.Top - w.Bottom)}";

    private static string Centre(SampleWindow w) => ReportText.Place((w.Left + w.Right) / 2, (w.Bottom + w.Top) / 2);
}
