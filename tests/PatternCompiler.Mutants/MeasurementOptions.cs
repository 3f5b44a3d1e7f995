namespace PatternCompiler.Mutants;

/// <summary>What is measured.</summary>
/// <param name="Work">Folder of the working copy and the verdicts.</param>
/// <param name="Rooms">Rooms or files below <c>src/PatternCompiler</c>; the whole library if empty.</param>
/// <param name="PerFile">Mutants drawn from each file, or null.</param>
/// <param name="PerRoom">Mutants drawn from each room, or null; all where neither is given.</param>
/// <param name="Only">Only mutants whose identity contains one of these; all if empty.</param>
/// <param name="Seconds">Most time of tests for a mutant, as they took without a fault; null for all that reach it.</param>
/// <param name="ListOnly">Print the chosen ones and stop.</param>
/// <param name="ListUnreached">Print those that no test reaches and stop.</param>
internal sealed record MeasurementOptions(string Work, string[] Rooms, int? PerFile, int? PerRoom, int Seed, int Workers, string[] Only, int? Seconds, bool ListOnly, bool ListUnreached)
{
    /// <summary>The rooms where a fault costs a sample or a column: their share is the one to reach.</summary>
    public static readonly string[] WritingRooms =
    [
        "Passes/Fields", "Passes/Scale", "Passes/Fill", "Passes/Timing", "Passes/Order", "Passes/Route",
        "BackEnds/ExposureStream", "BackEnds/Words", "BackEnds/Volts", "BackEnds/Wave", "BackEnds/Npy", "BackEnds/Motion", "BackEnds/Points", "BackEnds/ValueChange", "Send", "Runs",
        "Instrument", "Geometry/Sweep", "Prediction/Stray", "Prediction/Estimate", "Checks", "Calibration", "Jobs",
    ];

    /// <summary>Whether a file below <c>src/PatternCompiler</c> belongs to one of the rooms where a fault costs a sample or a column.</summary>
    public static bool IsWriting(string file) => Belongs(file, WritingRooms);

    /// <summary>Whether a file below <c>src/PatternCompiler</c> belongs to a measured room.</summary>
    public bool IsWanted(string file) => Rooms.Length == 0 || Belongs(file, Rooms);

    private static bool Belongs(string file, string[] rooms) => rooms.Any(room => file.StartsWith($"{room}/", StringComparison.Ordinal) || file == $"{room}.cs" || file == room);
}
