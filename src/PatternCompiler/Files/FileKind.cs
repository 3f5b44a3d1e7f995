namespace PatternCompiler.Files;

/// <summary>What a name of the file system stands for.</summary>
internal enum FileKind
{
    /// <summary>A file whose bytes are kept.</summary>
    Regular,

    /// <summary>A folder.</summary>
    Folder,

    /// <summary>A pipe, a socket or a disk: nothing that is replaced as a whole.</summary>
    Other,

    /// <summary>A device that gives or takes bytes, mostly without an end.</summary>
    Device,
}
