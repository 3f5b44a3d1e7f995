namespace PatternCompiler.Mutants;

/// <summary>What the tests make of a mutant.</summary>
internal enum Verdict
{
    /// <summary>A test fails, or the process that runs it dies.</summary>
    Caught,

    /// <summary>The tests do not end within their limit: noticed too.</summary>
    Timeout,

    /// <summary>Every test that reaches the place passes.</summary>
    Missed,

    /// <summary>Missed, and listed in Equivalents.yaml: no test can tell it from the original.</summary>
    Equivalent,

    /// <summary>No unit test reaches the place.</summary>
    NotReached,

    /// <summary>The change does not compile.</summary>
    DoesNotCompile,
}
