namespace PatternCompiler.Reports.Html;

/// <summary>What can hurt the person at the instrument.</summary>
internal static class CautionsSection
{
    // The same cautions as those of the project's README.
    private static readonly string[] Cautions =
    [
        "This page describes a file. It knows nothing of the microscope’s state and replaces no interlock. Check before the exposure that the blanker really turns the beam off.",
        "High voltage: an electron microscope holds tens of kilovolts. Never work inside with the high voltage on, and have changes to it checked by a qualified person.",
        "X-rays: they are there as soon as the beam is on; a modified column may have lost its maker’s protections. Keep shielding and interlocks in place, and have the radiation measured by your radiation safety officer.",
        "Vacuum: chambers and glass can implode, pumps can trap fingers.",
        "Resists, developers and solvents (among them PMMA in anisole, MIBK, isopropanol) are flammable and harmful: use the fume hood, gloves and waste routes that their safety data sheets ask for, and never work alone.",
    ];

    public static void Add(HtmlBuilder html)
    {
        html.Element("h2", "Cautions", ("id", "cautions"));
        html.Open("ul", ("class", "cautions"));
        foreach (string caution in Cautions)
        {
            html.Element("li", caution);
        }

        html.Close();
        html.Element("p", "Where this page and your local codes, your laboratory’s rules or the instrument’s manual differ, they are right; leave electrical, radiation and vacuum work to people licensed for it.");
    }
}
