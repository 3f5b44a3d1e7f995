namespace PatternCompiler.Diagnostics;

/// <summary>
/// Where a shape or a placed cell was drawn, in eight bytes: file and words by number, line, and a number of the drawing's own.
/// The <see cref="PlaceTable"/> of its layout reads it. The default says that nobody knows.
/// </summary>
/// <param name="Bits">14 bits word, 26 bits line, 24 bits number; what does not fit stands in the table, and here its index.</param>
internal readonly record struct PlaceId(ulong Bits);
