namespace PatternCompiler.Passes.Fields;

/// <summary>The shape of a registration mark.</summary>
public enum MarkShape
{
    /// <summary>A cross of two bars.</summary>
    Cross,

    /// <summary>A filled square.</summary>
    Square,
}
