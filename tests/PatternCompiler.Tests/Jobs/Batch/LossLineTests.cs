using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs.Batch;

namespace PatternCompiler.Tests.Jobs.Batch;

public sealed class LossLineTests
{
    private static readonly Diagnostic Loss = new(CalibrationCodes.BadTable, Severity.Warning, "lost\n\"all\"", new SourcePlace("a file", 3, 4, "e"), "look");

    public static TheoryData<long, string?, string?, double?, double?> Items => new()
    {
        { 0, null, null, null, null },
        { 17, "pads", null, 1.5, -2.25 },
        { -1, null, "field 2", 0.0, null },
        { 5_000_000_000, "p\u00e4ds", "f", null, 1e9 },
    };

    /// <summary>Whatever was known of the place is known again, and nothing of it ends the line.</summary>
    [Theory]
    [MemberData(nameof(Items))]
    public void A_loss_is_read_back_as_it_was(long number, string? layer, string? field, double? x, double? y)
    {
        foreach (ItemKind kind in Enum.GetValues<ItemKind>())
        {
            var item = new ItemPlace(kind, number) { Layer = layer, Field = field, XNanometres = x, YNanometres = y, IsComplete = true };
            Diagnostic loss = Loss with { Place = Loss.Place with { Item = item } };
            string line = LossLine.Print(loss);
            Assert.DoesNotContain('\n', line);
            Diagnostic read = LossLine.Parse(line)!;
            ItemPlace placed = read.Place.Item!;
            Assert.Equal((kind, number, layer, field, x, y, true), (placed.Kind, placed.Number, placed.Layer, placed.Field, placed.XNanometres, placed.YNanometres, placed.IsComplete));
            Assert.Equal(loss.ToString(), read.ToString());
            Assert.Equal(Loss, read with { Place = read.Place with { Item = null } });
        }
    }

    [Fact]
    public void A_loss_without_an_item_or_a_place_is_read_back()
    {
        Assert.Equal(Loss, LossLine.Parse(LossLine.Print(Loss)));
        Diagnostic bare = Loss with { Fix = null, Place = default };
        Assert.Equal(bare, LossLine.Parse(LossLine.Print(bare)));
    }

    /// <summary>A line of other values, or of too few or too many, is no loss and no error.</summary>
    [Theory]
    [InlineData("")]
    [InlineData("7")]
    [InlineData("[]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[],0]")]
    [InlineData("[\"PC0000x\",\"m\",\"f\",\"a\",1,2,\"e\"]")]
    [InlineData("[null,\"m\",\"f\",\"a\",1,2,\"e\"]")]
    [InlineData("[CODE,null,\"f\",\"a\",1,2,\"e\"]")]
    [InlineData("[CODE,5,\"f\",\"a\",1,2,\"e\"]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1.5,2,\"e\"]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,\"2\",\"e\"]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[]]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[\"Figure\",1,null,null,null]]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[\"Nothing\",1,null,null,null,null]]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[\"Figure\",1,null,null,null,null,null]]")]
    [InlineData("[CODE,\"m\",\"f\",\"a\",1,2,\"e\",[\"Figure\",1,null,null,\"x\",null]]")]
    public void A_damaged_line_is_no_loss(string line) => Assert.Null(LossLine.Parse(line.Replace("CODE", $"\"{CalibrationCodes.BadTable.Id}\"", StringComparison.Ordinal)));
}
