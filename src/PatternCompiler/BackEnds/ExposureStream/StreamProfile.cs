namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>Which records a stream may hold.</summary>
internal enum StreamProfile : byte
{
    /// <summary>Jumps, dots, waits and markers: every line is written out point by point.</summary>
    Points = 0,

    /// <summary>Lines too: the controller interpolates them.</summary>
    Lines = 1,
}
