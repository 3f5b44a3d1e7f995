namespace PatternCompiler.Prediction.Simulation;

/// <summary>Arrays that serve one thread for one tile after another; each is handed out cleared.</summary>
internal sealed class EnergyScratch
{
    private float[] energy = [];
    private float[] source = [];
    private float[] columns = [];

    /// <summary>Charge that the map does not keep, about the tiles at hand; null where it keeps it.</summary>
    public ChargeRegion? Region { get; private set; }

    /// <summary>Fills the region for a part of a map.</summary>
    public void Open(ChargeMap map, MapPart part, int halo)
    {
        Region ??= new ChargeRegion(map);
        Region.Fill(part, halo);
    }

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
