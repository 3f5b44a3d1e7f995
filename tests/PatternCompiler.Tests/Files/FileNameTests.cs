using CsCheck;
using PatternCompiler.Files;

namespace PatternCompiler.Tests.Files;

public sealed class FileNameTests
{
    [Fact]
    public void Any_bytes_make_a_text_that_gives_them_back() => Gen.OneOf(Gen.Byte, Gen.Byte[0x80, 0xFF]).Array[0, 20].Sample(bytes =>
    {
        string text = FileName.Decode(bytes);
        Assert.Equal(bytes, FileName.Encode(text));
        Assert.Equal(!System.Text.Unicode.Utf8.IsValid(bytes), FileName.HasLoneBytes(text));
    }, iter: Iterations.Usually(20_000));

    [Fact]
    public void Names_that_are_UTF_8_stay_what_they_are() => Assert.Equal("é\ud83d\ude00中", FileName.Decode("é\ud83d\ude00中"u8));

    [Fact]
    public void Files_of_any_name_are_made_found_listed_renamed_and_removed()
    {
        if (!OperatingSystem.IsLinux())
        {
            return;
        }

        string folder = Directory.CreateTempSubdirectory("patternc-names-").FullName;
        string odd = Path.Combine(folder, FileName.Decode([0xFF, (byte)'/', (byte)'a', 0xFE]));
        FileSystem.CreateFolder(Path.GetDirectoryName(odd)!);
        using (FileStream made = FileSystem.CreateNew(odd))
        {
            made.Write("bytes"u8);
        }

        Assert.Throws<IOException>(() => FileSystem.CreateNew(odd));
        Assert.Equal(5, FileSystem.Look(odd)!.Value.Bytes);
        string other = odd + "b";
        FileSystem.Rename(odd, other);
        Assert.Null(FileSystem.Look(odd));
        Assert.Equal([new FolderEntry(Path.GetFileName(other), false, false)], FileSystem.List(Path.GetDirectoryName(odd)!));
        FileSystem.SetModified(other, new DateTime(2001, 2, 3, 0, 0, 0, DateTimeKind.Utc).Ticks);
        Assert.Equal(new DateTime(2001, 2, 3, 0, 0, 0, DateTimeKind.Utc).Ticks, FileSystem.Look(other)!.Value.ModifiedTicks);
        Assert.Equal(FileSystem.IdentityOf(other), FileSystem.IdentityOf(Path.Combine(folder, ".", Path.GetRelativePath(folder, other))));
        using (FileStream read = FileSystem.OpenRead(other))
        {
            Assert.Equal(5, read.Length);
        }

        FileSystem.Delete(other);
        FileSystem.DeleteFolder(Path.GetDirectoryName(odd)!);
        Directory.Delete(folder);
    }

    [Fact]
    public void One_file_has_one_identity_however_it_is_named()
    {
        string folder = Directory.CreateTempSubdirectory("patternc-names-").FullName;
        try
        {
            File.WriteAllText(Path.Combine(folder, "a"), "");
            File.CreateSymbolicLink(Path.Combine(folder, "link"), "a");
            File.CreateSymbolicLink(Path.Combine(folder, "new"), "b");
            Directory.CreateSymbolicLink(Path.Combine(folder, "here"), ".");
            string[] ofA = [.. new[] { "a", "./a", "link", "here/a", "here/link" }.Select(name => FileSystem.IdentityOf(Path.Combine(folder, name))).Distinct()];
            Assert.Single(ofA);
            Assert.Single(new[] { "b", "new", "here/b", "here/here/new" }.Select(name => FileSystem.IdentityOf(Path.Combine(folder, name))).Distinct());
            Assert.Equal(new OutputClash(Path.Combine(folder, "link"), Path.Combine(folder, "a"), true), OutputClash.Find([Path.Combine(folder, "a")], [Path.Combine(folder, "link")]));
            Assert.Equal(new OutputClash(Path.Combine(folder, "new"), Path.Combine(folder, "b"), false), OutputClash.Find([], [Path.Combine(folder, "b"), Path.Combine(folder, "new")]));
            Assert.Null(OutputClash.Find(["/dev/null"], ["/dev/null", "/dev/null", Path.Combine(folder, "B"), Path.Combine(folder, "c")]));
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }
}
