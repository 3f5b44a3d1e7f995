using PatternCompiler.Pictures;

namespace PatternCompiler.Prediction.Shapes;

/// <summary>Shape faults in words.</summary>
internal static class ShapeText
{
    /// <summary>Printed and drawn pattern hang together alike.</summary>
    public const string Sound = "what hangs together as drawn also prints so";

    /// <summary>A number of faults, such as "2 shorts".</summary>
    public static string Count(ShapeFaultKind kind, int count) => FactText.Count(count, Words(kind).One, Words(kind).Many);

    /// <summary>All numbers, such as "1 short, 2 islands", or "none".</summary>
    public static string Counts(ShapeReport report) =>
        report.IsSound ? "none" : string.Join(", ", report.Counts().Select(pair => Count(pair.Kind, pair.Count)));

    /// <summary>The name of one, and of several.</summary>
    public static (string One, string Many) Words(ShapeFaultKind kind) => kind switch
    {
        ShapeFaultKind.Shorted => ("short", "shorts"),
        ShapeFaultKind.Bridge => ("bridge", "bridges"),
        ShapeFaultKind.Open => ("open", "opens"),
        ShapeFaultKind.Cut => ("cut", "cuts"),
        ShapeFaultKind.Lost => ("lost figure", "lost figures"),
        ShapeFaultKind.Island => ("island", "islands"),
        ShapeFaultKind.Hole => ("hole", "holes"),
        ShapeFaultKind.FilledHole => ("filled hole", "filled holes"),
        ShapeFaultKind.MissingPart => ("missing part", "missing parts"),
        _ => ("excess part", "excess parts"),
    };

    /// <summary>What a kind means.</summary>
    public static string Meaning(ShapeFaultKind kind) => kind switch
    {
        ShapeFaultKind.Shorted => "areas that are drawn apart print as one",
        ShapeFaultKind.Bridge => "a gap that is drawn open is closed",
        ShapeFaultKind.Open => "an area prints in several parts",
        ShapeFaultKind.Cut => "an area is cut through and holds together another way",
        ShapeFaultKind.Lost => "nothing of it prints",
        ShapeFaultKind.Island => "prints where nothing is drawn",
        ShapeFaultKind.Hole => "stays bare inside an area",
        ShapeFaultKind.FilledHole => "a drawn hole prints closed",
        ShapeFaultKind.MissingPart => "a part of an area does not print",
        _ => "an area prints far beyond what is drawn",
    };
}
