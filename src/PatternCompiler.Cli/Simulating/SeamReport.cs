using System.Globalization;
using PatternCompiler.Prediction.Seams;
using PatternCompiler.Prediction.Shapes;

namespace PatternCompiler.Cli.Simulating;

/// <summary>Seams between write fields for people.</summary>
internal static class SeamReport
{
    /// <summary>One line for all, and one for each.</summary>
    public static IEnumerable<string> Lines(SimulationFindings findings)
    {
        int opening = findings.Seams.Count(seam => seam.Opens > 0);
        yield return $"{findings.Seams.Length} between {findings.Fields} write fields, of which {opening} {(opening == 1 ? "opens" : "open")}; stage errors: {findings.Stage.Description}";
        foreach (SeamVerdict seam in findings.Seams.Where(seam => seam.Edges.Samples > 0 || !seam.Faults.IsEmpty))
        {
            yield return $"{Name(seam.Seam)}: {Displacement(seam)}; {Prints(seam)}";
        }
    }

    private static string Name(Seam seam) => $"{seam.First.Name}|{seam.Second.Name}";

    private static string Displacement(SeamVerdict seam)
    {
        string along = seam.OverlapNanometres switch
        {
            > 0 => $"{Nanometres(seam.OverlapNanometres)} too close",
            < 0 => $"{Nanometres(-seam.OverlapNanometres)} too far apart",
            _ => "in place",
        };
        return seam.SidewaysNanometres == 0 ? along : $"{along}, {Nanometres(Math.Abs(seam.SidewaysNanometres))} sideways";
    }

    private static string Prints(SeamVerdict seam)
    {
        string faults = seam.Faults.IsEmpty ? "nothing opens" : string.Join(", ", seam.Faults.Select(fault => ShapeText.Count(fault.Kind, fault.Count)));
        return seam.Edges.Samples == 0
            ? faults
            : $"{faults}, edges thin by {Nanometres(seam.ThinsNanometres)} and widen by {Nanometres(seam.WidensNanometres)} at worst{(seam.Edges.Lost > 0 ? $", {seam.Edges.Lost} of {seam.Edges.Samples} places without a printed edge" : "")}";
    }

    private static string Nanometres(double value) => value.ToString("0.##", CultureInfo.InvariantCulture) + " nm";
}
