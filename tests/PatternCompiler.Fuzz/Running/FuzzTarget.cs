using PatternCompiler.Fuzz.Mutation;

namespace PatternCompiler.Fuzz.Running;

/// <summary>Something that takes bytes from outside and must end with a result or a <c>CompileException</c>.</summary>
/// <param name="Name">Its name on the command line.</param>
/// <param name="Seeds">Valid inputs to begin with; small ones run faster.</param>
/// <param name="Mutations">How inputs of this form are changed.</param>
/// <param name="Run">Runs one input.</param>
internal sealed record FuzzTarget(string Name, IReadOnlyList<byte[]> Seeds, IReadOnlyList<Mutate> Mutations, Action<byte[], CancellationToken> Run)
{
    /// <summary>Puts checksums right, so that a change gets behind them; the same bytes where there are none.</summary>
    public Func<byte[], byte[]> Repair { get; init; } = bytes => bytes;

    /// <summary>Words of the format that mutations put in.</summary>
    public IReadOnlyList<byte[]> Words { get; init; } = [];

    /// <summary>Inputs longer than this are cut: long ones find no more and run slower.</summary>
    public int LongestInput { get; init; } = 1 << 15;
}
