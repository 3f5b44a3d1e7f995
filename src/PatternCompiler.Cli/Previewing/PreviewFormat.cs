namespace PatternCompiler.Cli.Previewing;

/// <summary>What <c>preview</c> writes.</summary>
internal enum PreviewFormat
{
    /// <summary>A picture of dots.</summary>
    Png,

    /// <summary>A picture of lines.</summary>
    Svg,

    /// <summary>A page that plays the beam.</summary>
    Page,
}
