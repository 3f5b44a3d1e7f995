using System.Collections.Immutable;

namespace PatternCompiler.Jobs.Batch;

/// <summary>Finds the numeric settings in which builds differ. Those that change together are one.</summary>
/// <param name="mostBuilds">How many builds there are at most.</param>
internal sealed class VaryingSettings(int mostBuilds)
{
    private readonly Dictionary<string, Column> columns = new(StringComparer.Ordinal);
    private readonly List<Column> order = [];
    private int count;

    /// <summary>Takes the settings of the next build.</summary>
    public void Add(IEnumerable<NumericSetting> settings)
    {
        foreach (NumericSetting setting in settings)
        {
            if (columns.TryGetValue(setting.Key, out Column? column))
            {
                column.Add(count, setting, mostBuilds);
            }
            else if (count == 0)
            {
                columns.Add(setting.Key, column = new Column(setting));
                order.Add(column);
            }
        }

        count++;
    }

    /// <summary>
    /// The settings that every build has and that are not the same in all. Of those that change together the one with the shortest path
    /// leads. The one with most values comes first, and among equals the one that was named first.
    /// </summary>
    public ImmutableArray<VaryingSetting> Find()
    {
        var found = new Dictionary<string, List<Column>>(StringComparer.Ordinal);
        var keys = new List<string>();
        foreach (Column column in order.Where(column => column.Varies(count)))
        {
            string pattern = PatternOf(column.Numbers!.Take(count));
            if (found.TryGetValue(pattern, out List<Column>? together))
            {
                together.Add(column);
            }
            else
            {
                found.Add(pattern, [column]);
                keys.Add(pattern);
            }
        }

        return
        [
            .. keys.Select(pattern => ToSetting(pattern, found[pattern])).OrderByDescending(setting => setting.Count),
        ];
    }

    /// <summary>Which values are equal: the number of each among the different ones, in the order in which they occur.</summary>
    internal static string PatternOf<T>(IEnumerable<T> values)
        where T : notnull
    {
        var numbers = new Dictionary<T, int>();
        return string.Join(' ', values.Select(value =>
        {
            numbers.TryAdd(value, numbers.Count);
            return numbers[value];
        }));
    }

    private VaryingSetting ToSetting(string pattern, List<Column> together)
    {
        var distinct = new List<Column>();
        foreach (Column column in together.OrderBy(column => column.First.Key.Count(c => c == '.')))
        {
            if (!distinct.Exists(other => other.Numbers!.SequenceEqual(column.Numbers!)))
            {
                distinct.Add(column);
            }
        }

        Column leader = distinct[0];
        return new VaryingSetting(
            pattern,
            leader.First.Name,
            [.. distinct.Skip(1).Select(column => column.First.Name)],
            [.. leader.Numbers!.Take(count)],
            [.. leader.Texts!.Take(count)]);
    }

    /// <summary>One setting in all builds; values are kept from the first that differs.</summary>
    private sealed class Column(NumericSetting first)
    {
        private int seen = 1;

        public NumericSetting First => first;

        public double[]? Numbers { get; private set; }

        public string[]? Texts { get; private set; }

        public void Add(int index, NumericSetting setting, int capacity)
        {
            seen++;
            if (Numbers is null && setting.Number != first.Number)
            {
                Numbers = [.. Enumerable.Repeat(first.Number, capacity)];
                Texts = [.. Enumerable.Repeat(first.Text, capacity)];
            }

            if (Numbers is not null && index < Numbers.Length)
            {
                Numbers[index] = setting.Number;
                Texts![index] = setting.Text;
            }
        }

        public bool Varies(int builds) => Numbers is not null && seen == builds;
    }
}

/// <summary>A setting in which builds differ.</summary>
/// <param name="Pattern">Which builds have equal values.</param>
/// <param name="Name">What it is called.</param>
/// <param name="Together">Names of settings that change with it and have other values; a layer that takes the value of the job is no other setting.</param>
/// <param name="Numbers">Its value in each build, in the base unit.</param>
/// <param name="Texts">Its value in each build, with the unit.</param>
internal sealed record VaryingSetting(string Pattern, string Name, ImmutableArray<string> Together, ImmutableArray<double> Numbers, ImmutableArray<string> Texts)
{
    /// <summary>Number of different values.</summary>
    public int Count { get; } = Numbers.Distinct().Count();
}
