namespace PatternCompiler.FrontEnds.Oasis;

/// <summary>How a cell is named: by its name, or by a number that a name record elsewhere in the file explains.</summary>
internal readonly record struct OasisCellKey(string? Name, long Number)
{
    /// <summary>Reads a key.</summary>
    public static OasisCellKey Read(OasisBytes bytes, bool isNumber) => isNumber ? new(null, bytes.Unsigned()) : new(bytes.Text(), -1);
}
