namespace PatternCompiler.Files;

/// <summary>What a name of the file system stands for.</summary>
public enum FileKind
{
    /// <summary>A file whose bytes are kept.</summary>
    Regular,

    /// <summary>A folder.</summary>
    Folder,

    /// <summary>A device, a pipe or a socket: nothing that is replaced as a whole.</summary>
    Other,
}
