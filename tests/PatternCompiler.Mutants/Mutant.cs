namespace PatternCompiler.Mutants;

/// <summary>One fault that the switched build can be told to have.</summary>
/// <param name="Number">Its switch, from 1; changes from build to build.</param>
/// <param name="Identity">Room, type, member, kind, hash of the original code and ordinal among equal ones: stays the same when lines move.</param>
/// <param name="File">Path below <c>src/PatternCompiler</c>.</param>
/// <param name="Line">Line of the original in this tree, from 1.</param>
/// <param name="Change">Original code, an arrow and what takes its place, on one line.</param>
/// <param name="InInitializer">Whether it runs once a process, so that only the first test reaches it.</param>
internal sealed record Mutant(int Number, string Identity, string File, int Line, string Kind, string Change, bool InInitializer)
{
    /// <summary>The folder of the room, two levels where a room has parts: <c>Passes/Scale</c>.</summary>
    public string Room => Path.GetDirectoryName(File) is { Length: > 0 } folder ? string.Join('/', folder.Split('/').Take(2)) : ".";
}
