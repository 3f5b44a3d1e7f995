namespace PatternCompiler.Model.Layout;

/// <summary>How names of layers and cells are written in the text layout: bare where possible, else in quotes.</summary>
internal static class NameText
{
    /// <summary>True for a byte that a bare name may hold: letters, digits, <c>_ . - / $ : +</c> and anything beyond ASCII.</summary>
    public static bool IsBareByte(byte value) =>
        char.IsAsciiLetterOrDigit((char)value) || value >= 0x80 || "_.-/$:+"u8.Contains(value);
}
