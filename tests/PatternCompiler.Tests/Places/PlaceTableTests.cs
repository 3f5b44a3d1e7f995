using System.Runtime.CompilerServices;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Tests.Places;

public sealed class PlaceTableTests
{
    private static readonly PlaceWord Handle = new("a.dxf", "LINE", null, "cut", PlaceNumber.Handle);

    [Fact]
    public void A_place_is_eight_bytes() => Assert.Equal(8, Unsafe.SizeOf<PlaceId>());

    [Theory]
    [InlineData(0, 0)]
    [InlineData(1, 0x2F)]
    [InlineData((1 << 26) - 1, (1 << 24) - 1)]
    [InlineData(1 << 26, 1)]
    [InlineData(1, 1 << 24)]
    [InlineData(int.MaxValue, ulong.MaxValue)]
    public void What_does_not_fit_is_kept_beside(int line, ulong number)
    {
        var table = new PlaceTable();
        PlaceId place = table.At(table.NumberOf(Handle), line, number);
        Assert.NotEqual(default, place);
        Assert.Equal((1, line, number), table.Parts(place));
        string handle = number == 0 ? "" : " " + number.ToString("X", System.Globalization.CultureInfo.InvariantCulture);
        Assert.Equal(new SourcePlace("a.dxf", line, 0, $"LINE{handle} on layer cut"), table.Find(place));
    }

    [Fact]
    public void More_words_than_a_place_has_room_for_are_kept_beside()
    {
        var table = new PlaceTable();
        PlaceId[] places = [.. Enumerable.Range(0, 20_000).Select(i => table.At(table.NumberOf(Handle with { Layer = $"l{i}" }), i, 7))];
        Assert.Equal(20_000, places.Distinct().Count());
        Assert.All(places.Index(), entry => Assert.Equal(new SourcePlace("a.dxf", entry.Index, 0, $"LINE 7 on layer l{entry.Index}"), table.Find(entry.Item)));
    }

    [Fact]
    public void Nobody_knows_where_the_default_is() => Assert.Null(new PlaceTable().Find(default));

    [Fact]
    public void Words_are_kept_once()
    {
        var table = new PlaceTable();
        Assert.Equal([1, 2, 1, 2, 2], new[] { "a", "b", "a", "b", "b" }.Select(layer => table.NumberOf(Handle with { Layer = layer })));
        Assert.Equal(2, table.Words.Count);
    }

    [Fact]
    public void Another_table_takes_them_over()
    {
        var first = new PlaceTable();
        PlaceId line = first.At(first.NumberOf(Handle), 5, 6);
        PlaceId named = first.At(first.NumberOf(new("a.svg", "rect", null, "x", PlaceNumber.Name)), 7, (ulong)first.AddName("via"));
        PlaceId rings = first.Fuse([line, named, default]);
        var second = new PlaceTable();
        second.NumberOf(Handle with { Kind = "other" });
        second.AddName("another");
        Assert.Equal(first.Find(line), second.Find(second.Adopt(first, line)));
        Assert.Equal(new SourcePlace("a.svg", 7, 0, "rect \"via\" on layer x"), second.Find(second.Adopt(first, named)));
        Assert.Equal([first.Find(line), first.Find(named), null], second.RingsOf(second.Adopt(first, rings))!.Select(ring => second.Find(ring)));
        Assert.Null(second.Find(second.Adopt(first, rings)));
        Assert.Equal(default, second.Adopt(first, default));
    }
}
