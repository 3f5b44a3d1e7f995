namespace PatternCompiler.Jobs;

/// <summary>One output being written. Disposing of it without <see cref="Commit"/> leaves nothing behind.</summary>
public interface IBuildOutput : IDisposable
{
    /// <summary>Takes the bytes.</summary>
    Stream Stream { get; }

    /// <summary>Everything is written: the output gets its name.</summary>
    void Commit();
}
