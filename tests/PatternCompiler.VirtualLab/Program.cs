using System.Globalization;
using PatternCompiler.VirtualLab;
using PatternCompiler.VirtualLab.Microscope;
using PatternCompiler.VirtualLab.Specimen;
using PatternCompiler.VirtualLab.Streams;
using PatternCompiler.VirtualLab.Truth;

// Writes a stream or a manifest of fields in the lab of a seed and takes a micrograph of a place.
if (args is not [var input, var seedText, var xText, var yText, var pixelText, var output])
{
    Console.Error.WriteLine("usage: lab STREAM-or-MANIFEST SEED X-UM Y-UM NM-PER-PIXEL PICTURE.png|.npy");
    return 2;
}

double Number(string text) => double.Parse(text, CultureInfo.InvariantCulture);
var lab = new Laboratory(LabTruth.Draw(long.Parse(seedText, CultureInfo.InvariantCulture), new LabSetup()));
Sample sample = Path.GetExtension(input) is ".yaml" ? lab.WriteFields(input) : lab.Write(DecodedExposure.Read(input));
var camera = new Camera(lab.Truth.Microscope, new Dice(lab.Truth.Seed, "picture"));
var shot = new Shot { CentreXNanometres = 1000 * Number(xText), CentreYNanometres = 1000 * Number(yText), NanometresPerPixel = Number(pixelText), Width = 1024, Height = 768 };
Micrograph picture = camera.Photograph(sample.Develop(camera.WindowOf(shot)), shot);
File.WriteAllBytes(output, Path.GetExtension(output) == ".npy" ? PictureFiles.Npy(picture) : PictureFiles.Png(picture));
Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{picture.Width} x {picture.Height} pixels of {picture.NanometresPerPixel} nm, the lowest {picture.DataBarRows} rows are the data bar"));
return 0;
