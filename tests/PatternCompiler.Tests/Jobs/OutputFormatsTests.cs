using PatternCompiler.BackEnds.Words;
using PatternCompiler.Instrument;
using PatternCompiler.Jobs;
using PatternCompiler.Model.Records;
using PatternCompiler.Tests.BackEnds;
using PatternCompiler.Tests.Model.Carriers;

namespace PatternCompiler.Tests.Jobs;

public class OutputFormatsTests
{
    /// <summary>A form is binary if what is written in it is no text: a terminal is spared those, and only those.</summary>
    [Fact]
    public void Binary_forms_are_those_that_are_no_text()
    {
        Machine machine = DefaultFiles.Machine with { Words = new WordLayout(32, [new(WordContent.X, 16), new(WordContent.Y, 16)], false, false) };
        foreach (OutputFormat format in Enum.GetValues<OutputFormat>())
        {
            byte[] bytes = Documents.Written<RecordsHeader, DeflectionRecord>(
                target => OutputFormats.Create(format, target, machine), Exposures.Header(12), [DeflectionRecord.Jump(1, 2, 3), DeflectionRecord.Dot(1, 2, 3)]);
            Assert.Equal(bytes.Any(b => b is < 32 and not (byte)'\n' and not (byte)'\r' or > 126), OutputFormats.IsBinary(format));
        }
    }
}
