using PatternCompiler.Diagnostics;

namespace PatternCompiler.Reports.Html;

/// <summary>Warnings and notes with their explanations, those about the drawings apart.</summary>
internal static class MessagesSection
{
    private const int MostOfOneCode = 12;

    /// <summary>What was read and what was left out of the drawings.</summary>
    public static void AddDrawings(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Left out of the drawings", ("id", "drawings"));
        Diagnostic[] found = [.. content.Diagnostics.Where(IsOfDrawing)];
        if (found.Length == 0)
        {
            html.Element("p", "Nothing: everything in the drawings that can be exposed was read.");
            return;
        }

        html.Element("p", "What the reader of the drawings left out or had to choose. Check that nothing of it was meant to be exposed.");
        AddGroups(html, found);
    }

    /// <summary>Everything else that was reported.</summary>
    public static void AddOthers(HtmlBuilder html, ReportContent content)
    {
        html.Element("h2", "Warnings and notes", ("id", "messages"));
        Diagnostic[] found = [.. content.Diagnostics.Where(diagnostic => !IsOfDrawing(diagnostic))];
        if (found.Length == 0)
        {
            html.Element("p", "None.");
            return;
        }

        AddGroups(html, found);
    }

    /// <summary>The front ends' numbers; see the README of the catalogue.</summary>
    private static bool IsOfDrawing(Diagnostic diagnostic) =>
        string.CompareOrdinal(diagnostic.Code.Id, "PC02") >= 0 && string.CompareOrdinal(diagnostic.Code.Id, "PC08") < 0;

    private static void AddGroups(HtmlBuilder html, Diagnostic[] diagnostics)
    {
        // Warnings first; within them as they were reported.
        foreach (IGrouping<(DiagnosticCode Code, Severity Severity), Diagnostic> group in diagnostics
            .GroupBy(diagnostic => (diagnostic.Code, diagnostic.Severity))
            .OrderByDescending(group => group.Key.Severity))
        {
            AddGroup(html, group.Key.Code, group.Key.Severity, [.. group]);
        }
    }

    private static string AlsoDrawn(ItemPlace? item) => item is { Also.Count: > 0 }
        ? $"; also drawn by {string.Join(" and by ", item.Also.Select(other => other.Plain))}{(item.More > 0 ? $", and {item.More} more" : "")}"
        : "";

    private static void AddGroup(HtmlBuilder html, DiagnosticCode code, Severity severity, Diagnostic[] diagnostics)
    {
        bool isWarning = severity != Severity.Note;
        html.Open("div", ("class", isWarning ? "message warning" : "message"), ("id", isWarning ? code.Id : code.Id + "-note"));
        html.Open("h3").Element("span", isWarning ? "Warning" : "Note", ("class", "badge")).Text($"{code.Id} {code.Title}").Close();
        html.Open("ul");
        foreach (Diagnostic diagnostic in diagnostics.Take(MostOfOneCode))
        {
            string place = diagnostic.Place.Plain;
            html.Element("li", (place.Length > 0 ? place + ": " : "") + diagnostic.Message + (diagnostic.Fix is { } fix ? "; " + fix : "") + AlsoDrawn(diagnostic.Place.Item));
        }

        if (diagnostics.Length > MostOfOneCode)
        {
            html.Element("li", $"and {ReportText.Count(diagnostics.Length - MostOfOneCode)} more");
        }

        html.Close();
        html.Open("details").Element("summary", "What this means").Element("p", code.Explanation).Close();
        html.Close();
    }
}
