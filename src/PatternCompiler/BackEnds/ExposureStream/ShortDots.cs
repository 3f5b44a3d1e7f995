using System.Buffers.Binary;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;
using PatternCompiler.Model.Records;

namespace PatternCompiler.BackEnds.ExposureStream;

/// <summary>
/// Packs the points of a line as dots with words of two bytes. By far the most of what a stream of points holds comes from here,
/// and it must keep up with a pipe: no branch that depends on data, two writes a point.
/// </summary>
internal static class ShortDots
{
    /// <summary>Bytes of a dot.</summary>
    public const int Size = StreamFormat.PointWords * sizeof(ushort);

    /// <summary>Packs as many points as the target holds, and takes the walk past them.</summary>
    public static void Pack(ref LineWalk walk, int codingMask, Span<byte> target)
    {
        if ((walk.SpareX | walk.SpareY) == 0)
        {
            PackEven(ref walk, codingMask, target);
        }
        else
        {
            PackAny(ref walk, codingMask, target);
        }
    }

    /// <summary>Every step is the same number of whole codes, as in rows on codes: both codes advance in one addition.</summary>
    private static void PackEven(ref LineWalk walk, int codingMask, Span<byte> target)
    {
        int count = target.Length / Size;
        ulong mask = ((ulong)(uint)codingMask << 16) | ((ulong)(uint)codingMask << 32);
        ulong place = StreamFormat.DotWord | ((ulong)(uint)walk.X << 16) | ((ulong)(uint)walk.Y << 32);
        ulong step = (ulong)(((long)walk.WholeY << 32) + ((long)walk.WholeX << 16));
        (long carriedTicks, long wholeTicks, long spareTicks, long points) = (walk.CarriedTicks, walk.WholeTicks, walk.SpareTicks, walk.Points);
        ref byte at = ref MemoryMarshal.GetReference(target);
        for (int left = count; left > 0; left--)
        {
            carriedTicks += spareTicks - points;
            long late = carriedTicks >> 63;
            carriedTicks += points & late;
            ulong ticks = (ulong)(wholeTicks + 1 + late);
            Write(ref at, (place | (ticks << 48)) ^ mask, ticks);
            at = ref Unsafe.Add(ref at, Size);
            place += step;
        }

        walk.X += walk.WholeX * count;
        walk.Y += walk.WholeY * count;
        walk.CarriedTicks = carriedTicks;
    }

    private static void PackAny(ref LineWalk walk, int codingMask, Span<byte> target)
    {
        ulong mask = ((ulong)(uint)codingMask << 16) | ((ulong)(uint)codingMask << 32);
        (int x, int y) = (walk.X, walk.Y);
        (long carriedX, long carriedY, long carriedTicks) = (walk.CarriedX, walk.CarriedY, walk.CarriedTicks);
        (int wholeX, int wholeY, long wholeTicks) = (walk.WholeX, walk.WholeY, walk.WholeTicks);
        (long spareX, long spareY, long spareTicks) = (walk.SpareX, walk.SpareY, walk.SpareTicks);
        (long divisor, long points) = (walk.Divisor, walk.Points);
        ref byte at = ref MemoryMarshal.GetReference(target);
        for (int left = target.Length / Size; left > 0; left--)
        {
            // All ones where a remainder is complete and the value goes up by one.
            carriedTicks += spareTicks - points;
            long late = carriedTicks >> 63;
            carriedTicks += points & late;
            ulong ticks = (ulong)(wholeTicks + 1 + late);
            Write(ref at, (StreamFormat.DotWord | ((ulong)(uint)x << 16) | ((ulong)(uint)y << 32) | (ticks << 48)) ^ mask, ticks);
            at = ref Unsafe.Add(ref at, Size);
            carriedX += spareX - divisor;
            late = carriedX >> 63;
            carriedX += divisor & late;
            x += wholeX + 1 + (int)late;
            carriedY += spareY - divisor;
            late = carriedY >> 63;
            carriedY += divisor & late;
            y += wholeY + 1 + (int)late;
        }

        (walk.X, walk.Y) = (x, y);
        (walk.CarriedX, walk.CarriedY, walk.CarriedTicks) = (carriedX, carriedY, carriedTicks);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static void Write(ref byte at, ulong first, ulong ticks)
    {
        ushort last = (ushort)(ticks >> 16);
        Unsafe.WriteUnaligned(ref at, BitConverter.IsLittleEndian ? first : BinaryPrimitives.ReverseEndianness(first));
        Unsafe.WriteUnaligned(ref Unsafe.Add(ref at, sizeof(ulong)), BitConverter.IsLittleEndian ? last : BinaryPrimitives.ReverseEndianness(last));
    }
}
