using System.Collections.Immutable;
using CsCheck;
using PatternCompiler.Instrument;

namespace PatternCompiler.Tests.Instrument;

/// <summary>Tables of outputs, those that fall back at carries among them.</summary>
public sealed class CodeLinearityTests
{
    // Both sides of the carries of four bits of twelve, off by up to twenty steps: most of them fall back somewhere.
    private static readonly Gen<ImmutableArray<(int Code, double ErrorSteps)>> Tables =
        Gen.Double[-20, 20].Array[32].Select(errors => errors.Select((error, i) => (i / 2 * 256 + (i % 2 == 0 ? 0 : 255), error)).ToImmutableArray());

    [Fact]
    public void A_code_that_is_looked_up_gives_the_output_it_was_looked_up_for_or_lies_in_a_gap_of_the_converter() => Gen.Select(Tables, Gen.Double[-30, 4130]).Sample((table, output) =>
    {
        var linearity = new CodeLinearity(table);
        double code = linearity.CodeFor(output);
        Assert.Equal(output, linearity.OutputOf(code), 1e-9);
    }, iter: Iterations.Usually(100));

    [Fact]
    public void Codes_never_fall_where_outputs_rise() => Gen.Select(Tables, Gen.Double[-30, 4130], Gen.Double[0, 50]).Sample((table, output, more) =>
    {
        var linearity = new CodeLinearity(table);
        return linearity.CodeFor(output) <= linearity.CodeFor(output + more);
    }, iter: Iterations.Usually(100));

    /// <summary>2047 gives 2050, 2048 gives 2044: up to their middle the lower side is taken, beyond it the upper, and no code but its own gives an output outside.</summary>
    [Theory]
    [InlineData(2043, 2040.02)]
    [InlineData(2046.99, 2044.0)]
    [InlineData(2047.01, 2051.0)]
    [InlineData(2052, 2056)]
    public void About_a_carry_that_falls_back_the_nearer_side_is_taken(double output, double code) =>
        Assert.Equal(code, new CodeLinearity([(0, 0), (2047, 3), (2048, -4), (4095, -4)]).CodeFor(output), 0.02);

    [Theory]
    [InlineData("0:0 100:-100", 1)]
    [InlineData("0:0 0:1", 1)]
    [InlineData("5:0 4:9", 1)]
    [InlineData("0:0 100:3 101:-2 102:-0.5", null)]
    [InlineData("0:0 100:3 101:-2 102:-1.5", 3)]
    [InlineData("0:0 100:3 101:-4 102:-4", 3)]
    [InlineData("0:0 99:3 100:3 101:-4", 3)]
    [InlineData("0:0 100:3 101:-4 200:0 201:-9", null)]
    [InlineData("0:0 100:3 101:-4 200:0 203:-9", 4)]
    [InlineData("100:6 101:-4", null)]
    public void Outputs_fall_back_at_carries_alone_and_by_less_than_they_rise_beside_them(string table, int? line)
    {
        ImmutableArray<(int, double)> errors = [.. table.Split(' ').Select(pair => pair.Split(':')).Select(pair => (int.Parse(pair[0], System.Globalization.CultureInfo.InvariantCulture), double.Parse(pair[1], System.Globalization.CultureInfo.InvariantCulture)))];
        Assert.Equal(line, CodeLinearity.FaultOf(errors));
        if (line is null)
        {
            Assert.Equal(errors[0].Item1 + errors[0].Item2, new CodeLinearity(errors).OutputOf(errors[0].Item1));
        }
        else
        {
            Assert.Throws<ArgumentException>(() => new CodeLinearity(errors));
        }
    }

    [Fact]
    public void An_empty_table_is_none() => Assert.Throws<ArgumentOutOfRangeException>(() => new CodeLinearity([]));
}
