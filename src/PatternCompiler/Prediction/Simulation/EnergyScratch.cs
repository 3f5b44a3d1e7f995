namespace PatternCompiler.Prediction.Simulation;

/// <summary>Arrays that serve one thread for one tile after another; each is handed out cleared.</summary>
internal sealed class EnergyScratch
{
    private float[] energy = [];
    private float[] source = [];
    private float[] columns = [];

    public float[] Energy(int length) => Cleared(ref energy, length);

    public float[] Source(int length) => Cleared(ref source, length);

    public float[] Columns(int length) => Cleared(ref columns, length);

    private static float[] Cleared(ref float[] array, int length)
    {
        if (array.Length < length)
        {
            array = new float[length];
        }
        else
        {
            array.AsSpan(0, length).Clear();
        }

        return array;
    }
}
