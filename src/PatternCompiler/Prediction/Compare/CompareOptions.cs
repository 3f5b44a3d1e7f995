namespace PatternCompiler.Prediction.Compare;

/// <summary>What may differ between two documents that count as the same.</summary>
internal sealed record CompareOptions
{
    /// <summary>The order of items.</summary>
    public bool IgnoresOrder { get; init; }

    /// <summary>How far edges of layouts and figures may be shifted; 0 for not at all.</summary>
    public double EdgeToleranceNanometres { get; init; }

    /// <summary>By what part of the mean exposed cell the exposure of a cell may differ; 0 for not at all.</summary>
    public double DoseTolerance { get; init; }

    /// <summary>Side of the cells in which exposures are added up.</summary>
    public double CellNanometres { get; init; } = 100;

    /// <summary>Most cells to list.</summary>
    public int ListedCells { get; init; } = 20;
}
