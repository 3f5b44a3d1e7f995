using PatternCompiler.FrontEnds.Common;

namespace PatternCompiler.Jobs;

/// <summary>Where a build reads drawings and writes outputs.</summary>
public interface IBuildFiles
{
    /// <summary>Opens a drawing; the build disposes of the stream.</summary>
    Stream OpenDrawing(string path);

    /// <summary>Opens a file that a text layout includes: its name as written, and the file that includes it; null if there is none.</summary>
    IncludedFile? OpenInclude(string name, string from);

    /// <summary>Starts an output, which gets its name only when it is committed.</summary>
    /// <param name="path">Its final name.</param>
    /// <param name="isBinary">The bytes are not for a terminal.</param>
    IBuildOutput Create(string path, bool isBinary);
}

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
