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
            "'patternc fit settling' takes jump, wait and displacement of all dots and prints time constant and waits for the machine file. Written with sides=2, and once more with upright=1 as well, it tells the hysteresis and the response of each axis: then choose waits from shorter than the fast part to longer than the slow one, and columns as 'patternc fit settling --help' says."),
        [
            PatternParameter.Count("jumps", 8, "jump lengths"),
            PatternParameter.Length("longest", "80 um", "longest jump"),
            PatternParameter.Length("bar", "1 um", "half of the length of a bar, and from dot to dot"),
            PatternParameter.Count("visits", 40, "visits to each dot, which share its charge"),
            PatternParameter.Factor("dose", "1", "dose factor of a dot, all visits together"),
            PatternParameter.Count("sides", 1, "2: each dot beside one that is approached from the other side, which shows the hysteresis"),
            PatternParameter.CountOrNone("upright", "1: jumps along y"),
        ],
        Draw);

    private static void Draw(PatternArguments arguments, PatternDrawing drawing)
    {
        int jumps = arguments.Count("jumps");
        long longest = arguments.Length("longest");
        long bar = arguments.Length("bar");
        int visits = arguments.Count("visits");
        DoseFactor dose = DoseFactor.FromValue(arguments.Factor("dose") / visits);
        int sides = arguments.Count("sides"), upright = arguments.Count("upright");
        PatternDrawing.Require(sides <= 2 && upright <= 1, "there are two sides and two axes", "use sides=1 or 2, upright=0 or 1");
        PatternDrawing.Require(longest / jumps >= 4 * bar, "the shortest jump is not longer than its bars", "use fewer jumps or shorter bars");
        PatternDrawing.Require(visits <= MostVisits, "the visits to a dot are more than fit beside one another", $"use at most {MostVisits} visits");
        var turned = new TurnedDrawing(drawing, upright == 1);
        for (int i = 0; i < jumps; i++)
        {
            long y = 5 * bar * (2 * i - jumps + 1) / 2;
            if (sides == 1)
            {
                DrawBeside(turned, longest * (i + 1) / jumps, -longest / 2, y, bar, visits, dose);
            }
            else
            {
                DrawBothSides(turned, longest * (i + 1) / jumps / 2, y, bar, visits, dose);
            }
        }
    }

    // A dot that is reached by a jump from the left, above one that is not.
    private static void DrawBeside(TurnedDrawing drawing, long jump, long anchor, long y, long bar, int visits, DoseFactor dose)
    {
        long x = anchor + jump;
        long width = bar * 3 / 10;
        drawing.Rectangle(x - bar, y - 2 * bar - width, x + bar, y - 2 * bar);
        drawing.Rectangle(x + bar, y - 2 * bar - width, x + bar + width, y + bar);
        drawing.Label(jump, anchor - 4 * bar, y - bar / 2, bar);
        Visit(drawing, visits, dose, (x, y - bar));
        Visit(drawing, visits, dose, (anchor, y), (x, y));
    }

    // Two dots, the upper one reached from the left and the lower one from the right.
    private static void DrawBothSides(TurnedDrawing drawing, long jump, long y, long bar, int visits, DoseFactor dose)
    {
        long width = bar * 3 / 10;
        drawing.Rectangle(-bar, y - 2 * bar - width, bar, y - 2 * bar);
        drawing.Rectangle(3 * bar, y - 2 * bar - width, 3 * bar + width, y + bar);
        Visit(drawing, visits, dose, (-jump, y), (0, y));
        Visit(drawing, visits, dose, (jump, y - bar), (0, y - bar));
    }

    private static void Visit(TurnedDrawing drawing, int visits, DoseFactor dose, params ReadOnlySpan<(long X, long Y)> places)
    {
        for (int visit = 0; visit < visits; visit++)
        {
            (long byX, long byY) = Beside(drawing.Drawing, visit, visits);
            foreach ((long x, long y) in places)
            {
                drawing.Dot(x + byX, y + byY, dose);
            }
        }
    }

    /// <summary>A drawing as it is, or with its axes exchanged.</summary>
    private readonly record struct TurnedDrawing(PatternDrawing Drawing, bool IsTurned)
    {
        public void Rectangle(long left, long bottom, long right, long top)
        {
            if (IsTurned)
            {
                Drawing.Rectangle(bottom, left, top, right);
            }
            else
            {
                Drawing.Rectangle(left, bottom, right, top);
            }
        }

        public void Dot(long x, long y, DoseFactor dose) => Drawing.Dot(IsTurned ? y : x, IsTurned ? x : y, dose);

        public void Label(long jump, long x, long y, long height) => Drawing.Label(
            NumberText.Format(Math.Round(Drawing.ToNanometres(jump) / 1000, 1, MidpointRounding.AwayFromZero)), IsTurned ? y : x, IsTurned ? x : y, (int)height);
    }

    // Places of a square, about its middle.
    private static (long X, long Y) Beside(PatternDrawing drawing, int visit, int visits)
    {
        int side = (int)Math.Ceiling(Math.Sqrt(visits)), lines = (visits + side - 1) / side;
        long step = drawing.Nanometres(BesideNanometres);
        return (step * (2 * (visit % side) - side + 1) / 2, step * (2 * (visit / side) - lines + 1) / 2);
    }
}
