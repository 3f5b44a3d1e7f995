using PatternCompiler.BackEnds.ExposureStream;
using PatternCompiler.Diagnostics;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.BackEnds.ExposureStream;

/// <summary>Records that wait for a trigger, byte by byte as the stream's page says; and that no other stream has changed.</summary>
public sealed class TriggerStreamTests
{
    private static readonly DeflectionRecord[] Pattern =
    [
        DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Trigger(0x12345), DeflectionRecord.Wait(7), DeflectionRecord.Line(1, 2, 4, 2, 4, 40), DeflectionRecord.Trigger(uint.MaxValue),
    ];

    private static RecordsHeader Waiting => Exposures.Header(16) with { WaitsForTrigger = true };

    [Theory]
    [InlineData(StreamProfile.Points, 2)]
    [InlineData(StreamProfile.Lines, 3)]
    internal void The_header_says_that_there_are_triggers(StreamProfile profile, byte expected)
    {
        byte[] bytes = Written(Waiting, profile, Pattern);
        Assert.Equal((2, expected), (bytes[7], bytes[13]));
        byte[] plain = Written(Exposures.Header(16), profile, [Pattern[0], Pattern[3]]);
        Assert.Equal((1, expected - 2), (plain[7], plain[13]));

        // Nothing else of the header differs but its CRC.
        int length = plain[8] | plain[9] << 8;
        Assert.Equal([7, 13], Enumerable.Range(0, length - 4).Where(i => plain[i] != bytes[i]));
    }

    [Fact]
    public void A_trigger_is_kind_6_and_a_pair_and_counts_no_ticks()
    {
        byte[] bytes = Written(Waiting, StreamProfile.Lines, [Pattern[0], Pattern[1]]);
        int payload = (bytes[8] | bytes[9] << 8) + 10;
        Assert.Equal([6, 0, 0x45, 0x23, 1, 0], bytes[(payload + 10)..(payload + 16)]);
        byte[] end = bytes[^28..];
        Assert.Equal((2, 0, 3), (end[0], end[8], end[16]));
    }

    [Theory]
    [InlineData(StreamProfile.Points)]
    [InlineData(StreamProfile.Lines)]
    internal void Reading_gives_back_what_was_written(StreamProfile profile)
    {
        var read = new CollectingSink<RecordsHeader, DeflectionRecord>();
        ExposureStreamOptions options = ExposureStreamReader.Read(
            new MemoryStream(Written(Waiting, profile, Pattern)), "x", read, new DiagnosticSink(), CancellationToken.None);
        Assert.True(options.WaitsForTrigger && read.Header!.WaitsForTrigger);
        Assert.Equal(profile, options.Profile);
        Assert.Equal(profile == StreamProfile.Lines ? Pattern : Exposures.AsDots(Pattern), read.Items);
    }

    [Theory]
    [InlineData(1, 1, "a trigger stands in a stream without triggers")]
    [InlineData(0, 0, "a trigger is waited for 0 ticks")]
    public void What_is_none_is_a_fault_of_the_record(int minor, long ticks, string fault)
    {
        var options = new ExposureStreamOptions(StreamProfile.Lines, 2) { WaitsForTrigger = minor != 1 };
        var records = new BlockRecords([6, 0, (byte)ticks, 0, 0, 0], options, Exposures.Header(16).Dac);
        Assert.Equal(fault, records.TryRead(out _));
    }

    [Theory]
    [InlineData(OutputFormat.Words)]
    [InlineData(OutputFormat.Volts)]
    [InlineData(OutputFormat.Wave)]
    [InlineData(OutputFormat.Array)]
    [InlineData(OutputFormat.Motion)]
    [InlineData(OutputFormat.Dump)]
    public void Outputs_with_fixed_times_refuse(OutputFormat format)
    {
        using var target = new MemoryStream();
        CompileException fault = Assert.Throws<CompileException>(() => OutputFormats.Create(format, target, DefaultFiles.Machine).Begin(Waiting));
        Assert.Equal(
            $"error PC2060: the records wait for the trigger input, and {OutputFormats.ContentOf(format).Title} states every time in advance; choose stream or records, or fill without 'fill.trigger'",
            fault.Message);
        Assert.Equal(0, target.Length);
    }

    private static byte[] Written(RecordsHeader header, StreamProfile profile, DeflectionRecord[] records) =>
        Documents.Written<RecordsHeader, DeflectionRecord>(target => new ExposureStreamWriter(target, profile), header, records);
}
