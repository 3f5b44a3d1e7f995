using PatternCompiler.BackEnds.Words;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.BackEnds;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Jobs;

public class OutputFormatsTests
{
    private static readonly Machine Machine = DefaultFiles.Machine with { Words = new WordLayout(32, [new(WordContent.X, 16), new(WordContent.Y, 16)], false, false) };

    /// <summary>A form is binary if what is written in it is no text: a terminal is spared those, and only those.</summary>
    [Fact]
    public void Binary_forms_are_those_that_are_no_text()
    {
        foreach (OutputFormat format in Enum.GetValues<OutputFormat>())
        {
            byte[] bytes = Written(format);
            Assert.Equal(bytes.Any(b => b is < 32 and not (byte)'\n' and not (byte)'\r' or > 126), OutputFormats.IsBinary(format));
        }
    }

    /// <summary>A form that can be known by its first bytes is, by them alone; the others and what is none are not.</summary>
    [Fact]
    public void Forms_are_known_by_what_is_written_in_them()
    {
        foreach (OutputFormat format in Enum.GetValues<OutputFormat>())
        {
            OutputFormat? expected = OutputFormats.Recognised.Contains(OutputFormats.ContentOf(format)) ? format : null;
            Assert.Equal(expected, OutputFormats.Recognise(Written(format).AsSpan(0, 8)));
        }

        Assert.Equal(["stream", "records", "volts", "wav", "npy", "vcd"], OutputFormats.Recognised.Select(content => content.Word));
        Assert.Null(OutputFormats.Recognise("anything"u8));
        Assert.Null(OutputFormats.Recognise([]));
    }

    private static byte[] Written(OutputFormat format) => Documents.Written<RecordsHeader, DeflectionRecord>(
        target => OutputFormats.Create(format, target, Machine), Exposures.Header(12), [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(1, 2, 3)]);
}
