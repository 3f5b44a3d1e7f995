using System.Globalization;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Bench;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;

// A lab at the command line: a command for each thing that one does at the bench. The lab is lab.yaml in the current folder, a sample is a folder.
const string Usage = """
    usage: lab write STREAM SAMPLE [BEAM]                   write a stream on a sample, with the lab's first beam or another one
           lab measure TABLE SAMPLE                         fill in a table of places with what is there, to standard output
           lab look STREAM SAMPLE                           look at a sample that was put back: a sample for each point, to standard output
           lab overlay TABLE SAMPLE SECOND                  how far a second layer lies off the first, at a table of places
           lab picture SAMPLE X-UM Y-UM NM-PER-PIXEL FILE   take a micrograph (.png or .npy)
    """;

double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
var lab = LabDescription.Read("lab.yaml");
switch (args)
{
    case ["write", var stream, var folder, .. { Length: <= 1 } beams]:
    {
        (double seconds, double femtocoulombs) = new SampleFolder(lab, folder).Write(stream, beams is [var beam] ? beam : null);
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"written in {seconds:0} s: {femtocoulombs / 1e6:0.00} nC on '{folder}'"));
        return 0;
    }

    case ["measure", var table, var folder]:
        Console.Write(ReadingsTable.Filled(File.ReadAllText(table), new SampleFolder(lab, folder).Read(), new Dice(lab.With(null).Seed, "readings of " + folder)));
        return 0;
    case ["look", var stream, var folder]:
    {
        (string samples, double femtocoulombs) = new SecondLayer(lab, new SampleFolder(lab, folder)).Look(stream);
        Console.Write(samples);
        Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{samples.Count(c => c == '\n') - 1} samples, {femtocoulombs / 1000:0.0} pC"));
        return 0;
    }

    case ["overlay", var table, var folder, var second]:
        Console.Write(new SecondLayer(lab, new SampleFolder(lab, folder)).Overlay(File.ReadAllText(table), new SampleFolder(lab, second).Read()));
        return 0;
    case ["picture", var folder, var x, var y, var pixel, var file]:
    {
        var camera = new Camera(lab.With(null).Microscope, new Dice(lab.With(null).Seed, "picture " + Path.GetFileName(file)));
        var shot = new Shot { CentreXNanometres = 1000 * Number(x), CentreYNanometres = 1000 * Number(y), NanometresPerPixel = Number(pixel), Width = 1024, Height = 768 };
        Micrograph picture = camera.Photograph(new SampleFolder(lab, folder).Read().Develop(camera.WindowOf(shot), ReadingsTable.StepNanometres), shot);
        File.WriteAllBytes(file, Path.GetExtension(file) == ".npy" ? PictureFiles.Npy(picture) : PictureFiles.Png(picture));
        Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{picture.Width} x {picture.Height} pixels of {picture.NanometresPerPixel} nm, the lowest {picture.DataBarRows} rows are the data bar"));
        return 0;
    }

    default:
        Console.Error.WriteLine(Usage);
        return 2;
}
