namespace PatternCompiler.Oracles;

/// <summary>A test with several rows that works out prints with numpy, scipy, shapely, networkx and ezdxf.</summary>
internal sealed class PrintChainTheoryAttribute : TheoryAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing(
        "python3-numpy, python3-scipy, python3-shapely, python3-networkx or python3-ezdxf", OutsidePrograms.Python, "-c", "import numpy, scipy, shapely, networkx, ezdxf");

    public PrintChainTheoryAttribute() => Skip = Reason;
}
