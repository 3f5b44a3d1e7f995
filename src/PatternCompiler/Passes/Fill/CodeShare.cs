namespace PatternCompiler.Passes.Fill;

/// <summary>Shares the dose of a place between the two codes around it, so that charge and centroid stay.</summary>
internal static class CodeShare
{
    /// <summary>The lower code, and the part of the dose that goes to the next one.</summary>
    /// <param name="place">The place, counted in codes.</param>
    /// <param name="smallest">A smaller part than this (but 0) is not possible: the nearer code then gets everything.</param>
    public static (long Code, double Share) Of(double place, double smallest)
    {
        long code = (long)Math.Floor(place);
        double share = place - code;
        return Math.Min(share, 1 - share) >= Math.Min(smallest, 0.5) ? (code, share) : (code, share < 0.5 ? 0 : 1);
    }
}
