using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Calibration;

/// <summary>Tables of dots as a known spread makes them.</summary>
internal static class DotTables
{
    /// <summary>Charge in fC that brings one dot's energy to 1.5 C/m² at a radius, of a beam with a spot.</summary>
    public static double ChargeFor(double radius, SpreadFunction spread, double spotFullWidth)
    {
        const double Threshold = 1.5;
        double spot = spotFullWidth / (2 * Math.Sqrt(Math.Log(2)));
        double density = 0;
        foreach (SpreadTerm term in spread.Terms)
        {
            double square = (term.RangeNanometres * term.RangeNanometres) + (spot * spot);
            density += term.Ratio * Math.Exp(-radius * radius / square) / (Math.PI * square * 1e-18);
        }

        return Threshold / (density / spread.Terms.Sum(term => term.Ratio)) * 1e15;
    }
}
