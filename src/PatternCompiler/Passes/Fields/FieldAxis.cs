using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Model.Layout;

namespace PatternCompiler.Passes.Fields;

/// <summary>The centres of write fields along one axis, in grid steps.</summary>
/// <param name="First">The lowest centre.</param>
/// <param name="Pitch">Distance of neighbours.</param>
/// <param name="Count">Number of fields.</param>
/// <param name="Half">Reach to either side of a centre.</param>
internal readonly record struct FieldAxis(int First, int Pitch, int Count, int Half)
{
    // In a row or column. How many there are in all is a limit of the job.
    private const long MostFields = 10_000;

    /// <summary>Covers a stretch of the axis with as few fields as it takes.</summary>
    /// <param name="low">Where the pattern begins.</param>
    /// <param name="high">Where it ends.</param>
    /// <param name="size">Size of a field.</param>
    /// <param name="margin">What neighbours share at least.</param>
    /// <param name="step">Centres are multiples of this.</param>
    /// <param name="first">The lowest centre, or null to choose it.</param>
    /// <param name="axis">Name of the axis for messages.</param>
    /// <param name="gridPicometres">Grid step for messages.</param>
    public static FieldAxis Cover(int low, int high, long size, long margin, long step, long? first, string axis, long gridPicometres)
    {
        long half = size / 2;
        long pitch = ((2 * half) - margin) / step * step;
        if (pitch < step)
        {
            throw new CompileException(
                FieldCodes.BadSetting,
                $"write fields of {Um(size)} um that share {Um(margin)} um leave nothing to step by along {axis}",
                fix: "enlarge the fields, or let them share less");
        }

        if (first is long given && given - half > low)
        {
            throw new CompileException(
                FieldCodes.CannotPlace,
                $"the pattern begins at {axis} = {Um(low)} um, but the first write field reaches from {Um(given - half)} um",
                fix: "move the first field, or leave it out to centre the fields on the pattern");
        }

        for (long count = Math.Max(1, ((long)high - low - (2 * half) + pitch - 1) / pitch); count <= MostFields; count++)
        {
            long start = first ?? RoundTo((((long)low + high) - ((count - 1) * pitch)) / 2, step);
            if (start - half <= low && start + ((count - 1) * pitch) + half >= high)
            {
                return new FieldAxis((int)start, (int)pitch, (int)count, (int)half);
            }
        }

        throw new CompileException(
            FieldCodes.BadSetting,
            $"the pattern is {Um((long)high - low)} um long along {axis}, which takes more than {MostFields} write fields of {Um(size)} um",
            fix: "check the unit of the drawing and the size of the fields");

        string Um(long steps) => LengthText.Micrometres(steps, gridPicometres);
    }

    /// <summary>Centre of a field.</summary>
    public int Centre(int index) => First + (index * Pitch);

    /// <summary>The field in whose reach a stretch lies whole, the nearest one if there are several; −1 if there is none.</summary>
    public int Home(int low, int high)
    {
        long middle = ((long)low + high) / 2;
        long below = Math.Clamp((middle - First) / Pitch, 0, Count - 1);
        int best = -1;
        for (int i = (int)below; i <= Math.Min(below + 1, Count - 1); i++)
        {
            bool holds = Centre(i) - Half <= low && high <= Centre(i) + Half;
            if (holds && (best < 0 || Math.Abs(Centre(i) - middle) < Math.Abs(Centre(best) - middle)))
            {
                best = i;
            }
        }

        return best;
    }

    private static long RoundTo(long value, long step) => (long)Math.Floor((double)value / step + 0.5) * step;
}
