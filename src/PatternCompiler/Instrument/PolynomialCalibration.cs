namespace PatternCompiler.Instrument;

/// <summary>A field whose distortion is a polynomial of order 1 to 3, valid over a square field.</summary>
/// <param name="Polynomial">Commanded → landing position; its half field bounds the area in which it holds.</param>
internal sealed record PolynomialCalibration(FieldPolynomial Polynomial) : MeasuredCalibration
{
    /// <inheritdoc/>
    public override IEnumerable<double> Numbers =>
        [2, Polynomial.Order, Polynomial.HalfFieldNanometres, .. Polynomial.XNanometres, .. Polynomial.YNanometres];

    /// <inheritdoc/>
    public override (double X, double Y) Land(double commandedX, double commandedY) => Polynomial.Land(commandedX, commandedY);

    /// <inheritdoc/>
    public override bool Covers(double commandedX, double commandedY) =>
        Math.Abs(commandedX) <= Polynomial.HalfFieldNanometres && Math.Abs(commandedY) <= Polynomial.HalfFieldNanometres;
}
