using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Prediction.Seams;

/// <summary>How far the stage misses each write field's place: the pattern there lies that much too far right and up.</summary>
internal sealed class StageErrors
{
    private readonly Func<WriteField, (double X, double Y)> errorOf;

    private StageErrors(string description, Func<WriteField, (double X, double Y)> errorOf) =>
        (Description, this.errorOf) = (description, errorOf);

    /// <summary>A stage that goes where it is sent.</summary>
    public static StageErrors None { get; } = new("none", _ => (0, 0));

    /// <summary>What they are, for outputs.</summary>
    public string Description { get; }

    /// <summary>The error at a field, in nanometres.</summary>
    public (double X, double Y) At(WriteField field) => errorOf(field);

    /// <summary>Normally distributed errors, independent in each field and direction; the same for the same seed, however the fields are visited.</summary>
    /// <param name="deviationNanometres">Standard deviation in each direction.</param>
    /// <param name="seed">Tells one set of errors from another.</param>
    public static StageErrors Random(double deviationNanometres, long seed) => new(
        $"random, {QuantityText.Format(deviationNanometres * 1e-9, Dimension.Length)} standard deviation in each direction, seed {NumberText.Format(seed)}",
        field =>
        {
            ulong start = Mixed((ulong)seed ^ Mixed((((ulong)(uint)field.Row) << 32) | (uint)field.Column));

            // G. E. P. Box and M. E. Muller, 1958.
            double radius = Math.Sqrt(-2 * Math.Log(Unit01(Mixed(start + 1)))) * deviationNanometres;
            (double sin, double cos) = Math.SinCos(2 * Math.PI * Unit01(Mixed(start + 2)));
            return (Math.Round(radius * cos, 3), Math.Round(radius * sin, 3));
        });

    /// <summary>Errors that a table names: rows and columns of fields counted from 1, as in their names; fields that it leaves out have none.</summary>
    /// <param name="table">Row, column, and the error in nanometres.</param>
    /// <param name="name">Name of the table.</param>
    /// <exception cref="CompileException">A field is named twice.</exception>
    public static StageErrors Given(IEnumerable<(double Row, double Column, double X, double Y)> table, string name)
    {
        var errors = ImmutableDictionary.CreateBuilder<(double, double), (double, double)>();
        foreach ((double row, double column, double x, double y) in table)
        {
            if (!errors.TryAdd((row, column), (x, y)))
            {
                throw new CompileException(
                    CalibrationCodes.BadTable,
                    $"the field in row {NumberText.Format(row)}, column {NumberText.Format(column)} is named twice",
                    new SourcePlace(name),
                    "give each field one line");
            }
        }

        ImmutableDictionary<(double, double), (double, double)> known = errors.ToImmutable();
        return new StageErrors($"as {PrintedText.Of(name, 200)} says", field => known.GetValueOrDefault((field.Row + 1, field.Column + 1)));
    }

    // The finaliser of SplitMix64 (G. L. Steele, D. Lea, C. H. Flood, 2014).
    private static ulong Mixed(ulong value)
    {
        value += 0x9E3779B97F4A7C15;
        value = (value ^ (value >> 30)) * 0xBF58476D1CE4E5B9;
        value = (value ^ (value >> 27)) * 0x94D049BB133111EB;
        return value ^ (value >> 31);
    }

    private static double Unit01(ulong bits) => ((bits >> 11) + 0.5) / (1UL << 53);
}
