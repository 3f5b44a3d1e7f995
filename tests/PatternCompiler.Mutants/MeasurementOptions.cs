namespace PatternCompiler.Mutants;

/// <summary>What is measured.</summary>
/// <param name="Work">Folder of the working copy and the verdicts.</param>
/// <param name="PerFile">Mutants drawn from each file, or null.</param>
/// <param name="PerRoom">Mutants drawn from each room, or null; all where neither is given.</param>
/// <param name="Only">Only mutants whose identity contains one of these; all if empty.</param>
internal sealed record MeasurementOptions(string Work, string[] Rooms, int? PerFile, int? PerRoom, int Seed, int Workers, string[] Only, bool ListOnly)
{
    /// <summary>The rooms where a fault costs a sample or a column.</summary>
    public static readonly string[] AllRooms =
    [
        "Passes/Scale", "Passes/Fill", "Passes/Timing", "Passes/Order", "Passes/Route",
        "BackEnds/ExposureStream", "BackEnds/Words", "BackEnds/Volts", "BackEnds/Wave", "BackEnds/Npy", "BackEnds/Motion", "BackEnds/Points", "Send",
        "Instrument", "Geometry/Sweep", "Prediction/Stray", "Prediction/Estimate", "Checks", "Calibration", "Jobs",
    ];

    /// <summary>Whether a file below <c>src/PatternCompiler</c> belongs to a measured room.</summary>
    public bool IsWanted(string file) => Rooms.Any(room => file.StartsWith($"{room}/", StringComparison.Ordinal) || file == $"{room}.cs" || file == room);
}
