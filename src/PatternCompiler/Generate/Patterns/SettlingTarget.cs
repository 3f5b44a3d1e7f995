using PatternCompiler.Units;

namespace PatternCompiler.Generate.Patterns;

/// <summary>
/// Dots that are written in many short visits, each after the same jump, beside dots that are visited without one, and two bars that
/// tell where they should lie. A visit is over before the beam has settled, so that the whole dot shows how far it still was; a figure
/// that takes longer than that would be displaced in its first point alone. Visits lie a nanometre beside one another, for what is drawn
/// twice on one place is written once.
/// </summary>
internal static class SettlingTarget
{
    private const double BesideNanometres = 1;
    private const int MostVisits = 256;

    public static readonly TestPattern Pattern = new(
        "settling-target",
        "dots written in many visits after jumps of growing length, beside a reference",
        new PatternGuide(
            "Write it as drawn (job: order: {by: as given}), without delays and with a wait that is too short: in the machine file settle: {fixed: 20 us} alone. Write it again with half and twice that wait, until the dots lie some tens of nanometres off; then with three or more waits close to that one, each a tenth longer than the last, for a dot that is visible at one wait is out of sight at half of it, and not displaced at twice. A visit should last no longer than the deflection needs to settle: take a large current, or more visits.",
            "Take a micrograph of each pair of dots with its two bars, and let 'patternc measure --settling' tell how far the upper dot has stayed behind, against the lower one; the machine file tells the wait. Dots that are too far off to be told from others are left out.",
            "'patternc fit settling' takes jump, wait and displacement of all dots and prints time constant and waits for the machine file."),
        [
            PatternParameter.Count("jumps", 8, "jump lengths"),
            PatternParameter.Length("longest", "80 um", "longest jump"),
            PatternParameter.Length("bar", "1 um", "half of the length of a bar, and from dot to dot"),
            PatternParameter.Count("visits", 40, "visits to each dot, which share its charge"),
            PatternParameter.Factor("dose", "1", "dose factor of a dot, all visits together"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int jumps = arguments.Count("jumps");
        long longest = arguments.Length("longest");
        long bar = arguments.Length("bar");
        int visits = arguments.Count("visits");
        DoseFactor dose = DoseFactor.FromValue(arguments.Factor("dose") / visits);
        PatternDrawing.Require(longest / jumps >= 4 * bar, "the shortest jump is not longer than its bars", "use fewer jumps or shorter bars");
        PatternDrawing.Require(visits <= MostVisits, "the visits to a dot are more than fit beside one another", $"use at most {MostVisits} visits");
        long anchor = -longest / 2;
        long width = bar * 3 / 10;
        long rowHeight = 5 * bar;
        for (int i = 0; i < jumps; i++)
        {
            long y = rowHeight * (2 * i - jumps + 1) / 2;
            long x = anchor + longest * (i + 1) / jumps;
            drawing.Rectangle(x - bar, y - 2 * bar - width, x + bar, y - 2 * bar);
            drawing.Rectangle(x + bar, y - 2 * bar - width, x + bar + width, y + bar);
            drawing.Label(NumberText.Format(Math.Round(drawing.ToNanometres(x - anchor) / 1000, 1, MidpointRounding.AwayFromZero)), anchor - 4 * bar, y - bar / 2, (int)bar);
            for (int visit = 0; visit < visits; visit++)
            {
                (long byX, long byY) = Beside(drawing, visit, visits);
                drawing.Dot(x + byX, y - bar + byY, dose);
            }

            for (int visit = 0; visit < visits; visit++)
            {
                (long byX, long byY) = Beside(drawing, visit, visits);
                drawing.Dot(anchor + byX, y + byY, dose);
                drawing.Dot(x + byX, y + byY, dose);
            }
        }
    }

    // Places of a square, about its middle.
    private static (long X, long Y) Beside(PatternDrawing drawing, int visit, int visits)
    {
        int side = (int)Math.Ceiling(Math.Sqrt(visits)), lines = (visits + side - 1) / side;
        long step = drawing.Nanometres(BesideNanometres);
        return (step * (2 * (visit % side) - side + 1) / 2, step * (2 * (visit / side) - lines + 1) / 2);
    }
}
