namespace PatternCompiler.Calibration.DoseToSize;

/// <summary>What a reading of a dose test is about.</summary>
internal enum DoseFeatureKind
{
    /// <summary>A square; its middle clears or keeps some thickness.</summary>
    Square,

    /// <summary>An exposed bar; its width.</summary>
    Bar,

    /// <summary>The unexposed gap between two exposed areas or bars; its width.</summary>
    Gap,
}
