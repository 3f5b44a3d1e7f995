namespace PatternCompiler.Jobs;

/// <summary>One output being written. Disposing of it without <see cref="Commit"/> leaves nothing behind.</summary>
public interface IBuildOutput : IDisposable
{
    /// <summary>Takes the bytes.</summary>
    Stream Stream { get; }

    /// <summary>Everything is written, but the output does not get its name yet: flushes it and gives back its resources.</summary>
    void Close();

    /// <summary>Everything is written: flushes it, and the output gets its name.</summary>
    void Commit();
}
