using System.Text.Json;
using PatternCompiler.Model.Records;

namespace PatternCompiler.Tests.Reports.Player;

/// <summary>Reads what a page plays, written from the description of the codings alone; shares no code with the writer.</summary>
internal sealed class PlayerReader
{
    private readonly Dictionary<string, Queue<byte>> columns = [];

    public PlayerReader(string facts, string data)
    {
        using JsonDocument json = JsonDocument.Parse(facts);
        JsonElement blocks = json.RootElement.GetProperty("blocks");
        (string Name, int Length)[] lengths =
        [
            .. blocks.GetProperty("figures").EnumerateArray().SelectMany(block => Named(block, "shape", "corners", "places")),
            .. Named(blocks.GetProperty("print"), "rings", "printed"),
            .. blocks.GetProperty("records").EnumerateArray().SelectMany(block => Named(block, "kind", "start", "reach", "points", "ticks")),
        ];
        var packed = new Queue<byte>(Convert.FromBase64String(data));
        int size = (int)Count(packed);
        byte[] all = Repeats(Likely([.. packed], size), lengths.Sum(column => column.Length));
        int at = 0;
        foreach ((string name, int length) in lengths)
        {
            columns.TryAdd(name, []);
            foreach (byte part in all.AsSpan(at, length))
            {
                columns[name].Enqueue(part);
            }

            at += length;
        }

        static IEnumerable<(string, int)> Named(JsonElement lengths, params string[] names)
        {
            Assert.Contains(lengths.GetArrayLength(), (int[])[0, names.Length]);
            return lengths.EnumerateArray().Select((length, column) => (names[column], length.GetInt32()));
        }
    }

    public static string Plain(DeflectionRecord record) => record.Kind >= RecordKind.Wait
        ? $"{record.Kind} {record.Ticks}"
        : $"{record.Kind} {record.X},{record.Y} {record.EndX},{record.EndY} {(record.Kind == RecordKind.Line ? record.Points : 0)} {record.Ticks}";

    public IEnumerable<string> Records()
    {
        var ticks = new Dictionary<RecordKind, long>();
        (long x, long y, long points) = (0, 0, 0);
        while (columns["kind"].TryDequeue(out byte code))
        {
            var kind = (RecordKind)code;
            ticks[kind] = ticks.GetValueOrDefault(kind) + Difference("ticks");
            if (kind >= RecordKind.Wait)
            {
                yield return $"{kind} {ticks[kind]}";
                continue;
            }

            (long fromX, long fromY) = (x + Difference("start"), y + Difference("start"));
            (x, y) = (fromX, fromY);
            if (kind == RecordKind.Line)
            {
                (x, y) = (fromX + Difference("reach"), fromY + Difference("reach"));
                points += Difference("points");
            }

            yield return $"{kind} {fromX},{fromY} {x},{y} {(kind == RecordKind.Line ? points : 0)} {ticks[kind]}";
        }

        Assert.All(["start", "reach", "points", "ticks"], name => Assert.Empty(columns[name]));
    }

    public IEnumerable<string> Figures()
    {
        (long x, long y, long place) = (0, 0, 0);
        while (columns["shape"].TryDequeue(out byte corners))
        {
            (ulong layer, ulong factor) = (Count(columns["shape"]), Count(columns["shape"]));
            place += Difference("places");
            List<string> places = [];
            for (int i = 0; i < corners; i++)
            {
                (x, y) = (x + Difference("corners"), y + Difference("corners"));
                places.Add($"{x},{y}");
            }

            yield return $"layer {layer} factor {factor} place {place}: {string.Join(' ', places)}";
        }
    }

    public static byte[] Repeats(byte[] told, int size)
    {
        var from = new Queue<byte>(told);
        List<byte> all = [];
        while (true)
        {
            for (ulong plain = Count(from); plain > 0; plain--)
            {
                all.Add(from.Dequeue());
            }

            if (all.Count >= size)
            {
                Assert.Empty(from);
                return [.. all];
            }

            (ulong length, ulong back) = (Count(from), Count(from));
            for (; length > 0; length--)
            {
                all.Add(all[^(int)back]);
            }
        }
    }

    public static byte[] Likely(byte[] coded, int size)
    {
        var from = new Queue<byte>(coded);
        var zeros = new Dictionary<(int Before, string Beginning), int>();
        ulong code = 0;
        ulong range = uint.MaxValue;
        for (int i = 0; i < 5; i++)
        {
            code = code << 8 | from.Dequeue();
        }

        var all = new byte[size];
        for (int at = 0; at < size; at++)
        {
            string bits = "";
            while (bits.Length < 8)
            {
                (int, string) context = (at == 0 ? 0 : all[at - 1], bits);
                int zero = zeros.GetValueOrDefault(context, 2048);
                ulong bound = range / 4096 * (ulong)zero;
                bool isOne = code >= bound;
                (code, range) = isOne ? (code - bound, range - bound) : (code, bound);
                zeros[context] = isOne ? zero - zero / 16 : zero + (4096 - zero) / 16;
                bits += isOne ? '1' : '0';
                for (; range < 1 << 24; range <<= 8)
                {
                    code = code << 8 | from.Dequeue();
                }
            }

            all[at] = Convert.ToByte(bits, 2);
        }

        return all;
    }

    private static ulong Count(Queue<byte> from)
    {
        ulong value = 0;
        for (int shift = 0; ; shift += 7)
        {
            byte part = from.Dequeue();
            value |= (ulong)(part & 0x7F) << shift;
            if (part < 0x80)
            {
                return value;
            }
        }
    }

    private long Difference(string column)
    {
        ulong value = Count(columns[column]);
        return value % 2 == 0 ? (long)(value / 2) : -(long)(value / 2) - 1;
    }
}
