namespace PatternCompiler.Mutants;

/// <summary>A mutant's verdict and the test that caught it.</summary>
internal sealed record Judgement(Mutant Mutant, Verdict Verdict, string Test)
{
    /// <summary>A line of Verdicts.tsv.</summary>
    public string Line => $"{Verdict}\t{Mutant.Identity}\t{Mutant.File}:{Mutant.Line}\t{Mutant.Change.Replace('\t', ' ')}\t{Test}";
}
