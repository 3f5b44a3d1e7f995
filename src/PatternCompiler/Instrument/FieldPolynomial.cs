namespace PatternCompiler.Instrument;

/// <summary>
/// Where the beam really lands for a commanded position, as a polynomial of order 1 to 3 in both axes:
/// <c>x' = Σ A[k]·u^i·v^j</c>, <c>y' = Σ B[k]·u^i·v^j</c> over all i + j ≤ order, with u and v the commanded position over
/// <paramref name="HalfFieldNanometres"/>. Terms stand in the order of <see cref="Exponents"/>.
/// </summary>
/// <param name="Order">1 affine (3 terms an axis), 2 (6), 3 (10).</param>
/// <param name="HalfFieldNanometres">Scale of u and v: half the field's width.</param>
/// <param name="XNanometres">Coefficients A, in nanometres.</param>
/// <param name="YNanometres">Coefficients B, in nanometres.</param>
internal sealed record FieldPolynomial(
    int Order,
    double HalfFieldNanometres,
    IReadOnlyList<double> XNanometres,
    IReadOnlyList<double> YNanometres)
{
    /// <summary>Number of terms per axis of a polynomial of the given order.</summary>
    public static int TermCount(int order) => (order + 1) * (order + 2) / 2;

    /// <summary>The exponents (i, j) of each term: by total order, then by falling power of u.</summary>
    public static IEnumerable<(int U, int V)> Exponents(int order)
    {
        for (int total = 0; total <= order; total++)
        {
            for (int v = 0; v <= total; v++)
            {
                yield return (total - v, v);
            }
        }
    }

    /// <summary>Landing position, in nanometres, for a commanded position in nanometres.</summary>
    public (double X, double Y) Land(double commandedX, double commandedY)
    {
        double u = commandedX / HalfFieldNanometres;
        double v = commandedY / HalfFieldNanometres;
        double x = 0;
        double y = 0;
        int term = 0;
        foreach ((int i, int j) in Exponents(Order))
        {
            double monomial = Power(u, i) * Power(v, j);
            x += XNanometres[term] * monomial;
            y += YNanometres[term] * monomial;
            term++;
        }

        return (x, y);
    }

    /// <summary>base^exponent by repeated multiplication: the same on every machine.</summary>
    internal static double Power(double value, int exponent)
    {
        double result = 1;
        for (int i = 0; i < exponent; i++)
        {
            result *= value;
        }

        return result;
    }
}
