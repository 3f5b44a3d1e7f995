using PatternCompiler.Diagnostics;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;

namespace PatternCompiler.Tests.Jobs;

/// <summary>What a machine file may not say of its scan, with the whole message.</summary>
public sealed class SettleSectionTests
{
    [Theory]
    [InlineData("response_x: [[1, 5 us]]", "'settle.response_x' stands without 'settle.response_y'; say how the other axis responds, too; the same values if it is like this one")]
    [InlineData("response_y: [[1, 5 us]]", "'settle.response_y' stands without 'settle.response_x'; say how the other axis responds, too; the same values if it is like this one")]
    [InlineData("response_x: [[0.9, 5 us], [0.2, 200 us]], response_y: [[1, 5 us]]", "the parts of 'settle.response_x' must add up to 1, but they make 1.1; each is the part of a step that settles with its time constant")]
    [InlineData("response_x: [[1, 1 us], [0, 2 us], [0, 3 us], [0, 4 us], [0, 5 us]], response_y: [[1, 5 us]]", "'settle.response_x' must have 1 to 4 parts, but it has 5; write for example [[0.9, 5 us], [0.1, 200 us]]")]
    [InlineData("response_x: [[1]], response_y: [[1, 5 us]]", "'settle.response_x[1]' must have a part and a time constant, but it has 1 values; write for example [0.9, 5 us]")]
    [InlineData("response_x: [[1, 0 us]], response_y: [[1, 5 us]]", "'settle.response_x[1][2]' must be above zero, but it is 0 us")]
    [InlineData("response_x: [[1, 11 s]], response_y: [[1, 5 us]]", "'settle.response_x[1][2]' must be at most 10 s, but it is 11 s; look for a wrong unit; what takes longer is drift")]
    [InlineData("response_x: [[3, 5 us], [-2, 9 us]], response_y: [[1, 5 us]]", "'settle.response_x[1][1]' must be from -2 to 2, but it is 3")]
    [InlineData("cancel_lag: yes, response_x: [[1.5, 5 us], [-0.5, 9 us]], response_y: [[1, 5 us]]", "'settle.cancel_lag' goes with responses whose parts are all above zero: what is sent ahead would otherwise grow without end; leave the negative parts out, or set 'cancel_lag: no'")]
    [InlineData("hysteresis_x: 60 um", "'settle.hysteresis_x' must be less than half of the field, but it is 60 um; look for a wrong unit")]
    [InlineData("hysteresis_y: 300 nm, approach: 200 nm", "'settle.approach' is 200 nm, less than the hysteresis of 300 nm, and would leave some of it; make it at least as long")]
    [InlineData("conditioning: {loops: 0, size: 90 um}", "'settle.conditioning.loops' must be from 1 to 1000, but it is 0")]
    [InlineData("conditioning: {loops: 1, size: 101 um}", "'settle.conditioning.size' must lie inside the field and the codes that may be sent, but it is 101 um; choose loops that the converters reach, for example nine tenths of the field")]
    [InlineData("conditioning: {loops: 1, size: [90 um, 0 um]}", "'settle.conditioning.size' must lie inside the field and the codes that may be sent, but it is not; choose loops that the converters reach, for example nine tenths of the field")]
    public void What_cannot_be_is_refused(string settle, string message) =>
        Assert.Equal(message, Told(Assert.Throws<CompileException>(() => Parse(settle, "{active: high}")).Diagnostic));

    [Theory]
    [InlineData("approach: 1 um", "'settle.approach' needs a blanker: without one every figure would begin with a line that leads to it; leave it out")]
    [InlineData("conditioning: {loops: 1, size: 90 um}", "'settle.conditioning' needs a blanker: without one the loops would print; leave it out")]
    public void Without_a_blanker_nothing_goes_beside_the_pattern(string settle, string message) =>
        Assert.Equal(message, Told(Assert.Throws<CompileException>(() => Parse(settle, "none")).Diagnostic));

    [Theory]
    [InlineData("time_constant: 5 us")]
    [InlineData("slew: 1 um/us")]
    public void A_response_stands_alone(string beside) =>
        Assert.Contains("response_x", Assert.Throws<CompileException>(() => Parse($"{beside}, response_x: [[1, 5 us]], response_y: [[1, 5 us]]", "{active: high}")).Message, StringComparison.Ordinal);

    /// <summary>The three parts below are not exact in binary, and their sum misses 1 in the last digit.</summary>
    [Fact]
    public void Parts_add_up_as_decimals_do() => Assert.Equal(3, Parse("response_x: [[0.7, 5 us], [0.2, 50 us], [0.1, 1 ms]], response_y: [[1, 5 us]]", "{active: high}").Settle.ResponseX.Length);

    private static string Told(Diagnostic fault) => fault.Fix is null ? fault.Message : $"{fault.Message}; {fault.Fix}";

    private static Machine Parse(string settle, string blanker) => MachineFile.Parse(
        $$"""
        machine: m
        dac: {bits: 16, lowest: -10 V, highest: 10 V, coding: straight}
        deflection: {field: 100 um}
        settle: {{{settle}}}
        clock: {rate: 1 MHz, shortest_dwell: 2 ticks, longest_dwell: 1000 ticks}
        blanker: {{blanker}}
        beam: {current: 100 pA, spot: 20 nm, energy: 30 keV}
        link: {rate: 1 MB/s, buffer: 4 KiB}
        """,
        "m.yaml");
}
