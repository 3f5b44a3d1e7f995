using PatternCompiler.Diagnostics;
using PatternCompiler.Measure.Micrographs;
using SkiaSharp;

namespace PatternCompiler.Tests.Measure;

public sealed class MicrographReaderTests
{
    private static readonly byte[] Six = [1, 2, 3, 250, 251, 255];

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Tiff_of_16_bits_comes_in_its_own_byte_order(bool isBig)
    {
        byte[] content = isBig ? [0x12, 0x34, 0xFF, 0xFE] : [0x34, 0x12, 0xFE, 0xFF];
        Micrograph picture = Read(PictureFiles.Tiff(2, 1, 16, content, isBig));
        Assert.Equal((2, 1, 16), (picture.Width, picture.Height, picture.Bits));
        Assert.Equal([0x1234, 0xFFFE], picture.Values.ToArray());
    }

    [Fact]
    public void Tiff_of_8_bits_has_its_rows_from_the_top_and_its_scale()
    {
        Micrograph picture = Read(PictureFiles.Tiff(3, 2, 8, Six));
        Assert.Equal((3, 2, 8, 10.0), (picture.Width, picture.Height, picture.Bits, picture.NanometresPerPixel));
        Assert.Equal([1, 2, 3, 250, 251, 255], picture.Values.ToArray());
        Assert.Equal([254, 253, 252, 5, 4, 0], Read(PictureFiles.Tiff(3, 2, 8, Six, photometric: 0)).Values.ToArray());
    }

    [Fact]
    public void The_resolution_of_a_screen_is_no_scale() =>
        Assert.Null(Read(PictureFiles.Tiff(3, 2, 8, Six, dotsPerCentimetre: 38)).NanometresPerPixel);

    [Fact]
    public void Png_keeps_every_grey()
    {
        Micrograph picture = Read(Encoded(SKEncodedImageFormat.Png));
        Assert.Equal((3, 2, 8), (picture.Width, picture.Height, picture.Bits));
        Assert.Equal([1, 2, 3, 250, 251, 255], picture.Values.ToArray());
    }

    [Fact]
    public void Jpeg_is_read()
    {
        Micrograph picture = Read(Encoded(SKEncodedImageFormat.Jpeg));
        Assert.Equal((3, 2, 8), (picture.Width, picture.Height, picture.Bits));
        Assert.All(picture.Values.ToArray(), value => Assert.InRange(value, 0, 255));
    }

    [Theory]
    [InlineData("|u1", new byte[] { 7, 255 }, 7, 255, 8)]
    [InlineData("<u2", new byte[] { 1, 2, 255, 255 }, 513, 65535, 16)]
    [InlineData(">u2", new byte[] { 1, 2, 255, 255 }, 258, 65535, 16)]
    [InlineData("<i2", new byte[] { 254, 255, 1, 0 }, -2, 1, 0)]
    [InlineData("<f4", new byte[] { 0, 0, 0x80, 0x3F, 0, 0, 0, 0xC0 }, 1, -2, 0)]
    [InlineData(">f8", new byte[] { 0x3F, 0xF0, 0, 0, 0, 0, 0, 0, 0xC0, 0, 0, 0, 0, 0, 0, 0 }, 1, -2, 0)]
    public void Arrays_of_any_plain_number_are_read(string type, byte[] content, float first, float second, int bits)
    {
        Micrograph picture = Read(PictureFiles.Npy(type, 1, 2, content));
        Assert.Equal((2, 1, bits), (picture.Width, picture.Height, picture.Bits));
        Assert.Equal([first, second], picture.Values.ToArray());
    }

    [Fact]
    public void Anything_else_is_refused() =>
        Refused([1, 2, 3], "PC4101", "this is neither a PNG, JPEG or TIFF picture nor an array file");

    [Fact]
    public void Arrays_of_columns_or_of_no_numbers_are_refused()
    {
        Refused(PictureFiles.Npy("|u1", 1, 2, [1, 2], byColumns: true), "PC4101", "this array is stored column by column");
        Refused(PictureFiles.Npy("<f4", 1, 1, [0, 0, 0xC0, 0x7F]), "PC4101", "this array holds values that are no numbers");
        Refused(PictureFiles.Npy("<c8", 1, 1, new byte[8]), "PC4101", "this array has not two dimensions of whole or real numbers");
    }

    [Fact]
    public void Sizes_are_refused_before_memory_is_used()
    {
        Refused(PictureFiles.Npy("|u1", 100_000, 100_000, []), "PC4102", "this picture has 100000 x 100000 pixels, and 1 to 64 million are read");
        Refused(PictureFiles.Tiff(100_000_000, 2, 8, Six), "PC4102", "this picture has 100000000 x 2 pixels, and 1 to 64 million are read");
    }

    // Entries of a directory that ask the library for gigabytes: a count of values, a count of rows, a strip that begins beyond the file.
    [Theory]
    [InlineData("49492A00080000000800000104000100000002000000010104000100000001000000020103000100000000000000030103000100000001000000060103000000000001000000110104000001000000020100010000000004000061000001030001000000004003046100")]
    [InlineData("49492A000800000008001001040001000000020000610101040001000000010000300A0103000100000010000000030000000100000000000000060001000100000001000000110104000100000061000000160104000100000001000000170104000100000006000000")]
    [InlineData("49492A0008000000080000010400010000000200000001010400010000000100000002010300010000001000000003010300010000000100000006000300010000000100000011010400010000001D0000A0160104000100000001000201030104000100000000000102")]
    [InlineData("49492A000800000008000001040001000000020000000101040000000000010000000201030001000000100000000301030001000000000000000101030001000000010000001101040001000000610000A0160104000100000017010400010000000000000000000102")]
    public void Tiff_that_claims_more_than_it_holds_is_refused(string file) =>
        Refused(Convert.FromHexString(file), "PC4101", "this TIFF picture is damaged or cut short");

    [Fact]
    public void No_truncation_is_measured_in_part()
    {
        foreach (byte[] whole in new[] { PictureFiles.Tiff(3, 2, 8, Six), PictureFiles.Npy("|u1", 2, 3, Six), Encoded(SKEncodedImageFormat.Png) })
        {
            for (int length = 0; length < whole.Length; length++)
            {
                // The last chunk of a PNG picture has its name before its last bytes.
                if (whole[0] == 0x89 && length > whole.Length - 12)
                {
                    continue;
                }

                CompileException fault = Assert.Throws<CompileException>(() => Read(whole[..length]));
                Assert.Equal("PC4101", fault.Diagnostic.Code.Id);
            }
        }
    }

    private static byte[] Encoded(SKEncodedImageFormat format)
    {
        using var bitmap = new SKBitmap(new SKImageInfo(3, 2, SKColorType.Gray8, SKAlphaType.Opaque));
        for (int i = 0; i < Six.Length; i++)
        {
            bitmap.SetPixel(i % 3, i / 3, new SKColor(Six[i], Six[i], Six[i]));
        }

        using SKData data = bitmap.Encode(format, 95);
        return data.ToArray();
    }

    private static Micrograph Read(byte[] file) => MicrographReader.Read(new MemoryStream(file), "picture");

    private static void Refused(byte[] file, string code, string message)
    {
        CompileException fault = Assert.Throws<CompileException>(() => Read(file));
        Assert.Equal((code, message), (fault.Diagnostic.Code.Id, fault.Diagnostic.Message));
    }
}
