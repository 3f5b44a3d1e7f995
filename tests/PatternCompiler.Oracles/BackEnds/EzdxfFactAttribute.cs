namespace PatternCompiler.Oracles.BackEnds;

/// <summary>A test that reads drawings with ezdxf.</summary>
internal sealed class EzdxfFactAttribute : FactAttribute
{
    private static readonly string? Reason = OutsidePrograms.Missing("python3-ezdxf", OutsidePrograms.Python, "-c", "import ezdxf");

    public EzdxfFactAttribute() => Skip = Reason;
}
