namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>Form of a value in a binary DXF file.</summary>
internal enum DxfValueKind
{
    /// <summary>Characters up to a NUL.</summary>
    Text,

    /// <summary>Eight bytes, IEEE 754.</summary>
    Real,

    /// <summary>Two bytes.</summary>
    Int16,

    /// <summary>Four bytes.</summary>
    Int32,

    /// <summary>Eight bytes.</summary>
    Int64,

    /// <summary>One byte, 0 or 1.</summary>
    Flag,

    /// <summary>A length byte and that many bytes.</summary>
    Bytes,
}
