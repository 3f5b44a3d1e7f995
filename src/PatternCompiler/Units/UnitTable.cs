namespace PatternCompiler.Units;

/// <summary>
/// Every unit that a user may write. Symbols follow the SI brochure (9th edition, 2019), with u for µ, and IEC 80000-13
/// for KiB and MiB.
/// </summary>
internal static class UnitTable
{
    private static readonly (string Symbol, int Power)[] Prefixes =
    [
        ("G", 9), ("M", 6), ("k", 3), ("", 0), ("m", -3), ("u", -6), ("n", -9), ("p", -12), ("f", -15), ("a", -18),
    ];

    private static readonly (string Symbol, int Power)[] Lengths =
    [
        ("m", 0), ("cm", -2), ("mm", -3), ("um", -6), ("nm", -9), ("pm", -12), ("fm", -15),
    ];

    private static readonly Dictionary<string, Unit[]> BySymbol =
        All().GroupBy(unit => unit.Symbol, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.ToArray(), StringComparer.Ordinal);

    /// <summary>The units that a symbol may stand for; more than one where the dimension decides (kV as a beam energy).</summary>
    public static ReadOnlySpan<Unit> Find(string symbol) => BySymbol.TryGetValue(Normalise(symbol), out Unit[]? units) ? units : [];

    /// <summary>Symbols of some dimensions, in table order.</summary>
    public static IEnumerable<string> SymbolsOf(Dimension[] dimensions) =>
        All().Where(unit => dimensions.Contains(unit.Dimension) && unit.Symbol.Length > 0).Select(unit => unit.Symbol);

    /// <summary>Both micro signs, the superscript and the caret of square units are other spellings of one symbol.</summary>
    private static string Normalise(string symbol) =>
        symbol.Replace('µ', 'u').Replace('μ', 'u').Replace("²", "2", StringComparison.Ordinal)
            .Replace("^2", "2", StringComparison.Ordinal).Replace("°", "deg", StringComparison.Ordinal);

    private static IEnumerable<Unit> All()
    {
        yield return Unit.One;
        yield return new("%", Dimension.Fraction, -2);
        yield return new("ppm", Dimension.Fraction, -6);
        foreach (var (prefix, power) in Prefixes)
        {
            yield return new(prefix + "V", Dimension.Voltage, power);
            yield return new(prefix + "A", Dimension.Current, power);
            yield return new(prefix + "C", Dimension.Charge, power);
            yield return new(prefix + "s", Dimension.Time, power);
            yield return new(prefix + "Hz", Dimension.Frequency, power);
            foreach (var (length, lengthPower) in Lengths)
            {
                yield return new($"{prefix}C/{length}2", Dimension.AreaDose, power - 2 * lengthPower);
                yield return new($"{prefix}C/{length}", Dimension.LineDose, power - lengthPower);
                yield return new($"{length}/{prefix}s", Dimension.Speed, lengthPower - power);
            }
        }

        foreach (var (length, power) in Lengths)
        {
            yield return new(length, Dimension.Length, power);
        }

        yield return new("min", Dimension.Time, 0, 60);
        yield return new("h", Dimension.Time, 0, 3600);
        foreach (var (prefix, power) in Prefixes[..4])
        {
            yield return new(prefix + "eV", Dimension.Energy, power);
            yield return new(prefix + "V", Dimension.Energy, power);
            yield return new(prefix + "B", Dimension.DataSize, power);
            yield return new(prefix + "B/s", Dimension.DataRate, power);
            yield return new(prefix + "bit/s", Dimension.DataRate, power, 0.125);
        }

        foreach (var (prefix, factor) in new[] { ("Ki", 1024.0), ("Mi", 1048576.0), ("Gi", 1073741824.0) })
        {
            yield return new(prefix + "B", Dimension.DataSize, 0, factor);
            yield return new(prefix + "B/s", Dimension.DataRate, 0, factor);
        }

        // A byte takes ten bits on a serial line: start, eight of data, stop, and no parity (8N1).
        foreach (var (prefix, power) in new[] { ("", -1), ("k", 2), ("M", 5) })
        {
            yield return new(prefix + "baud", Dimension.DataRate, power);
        }

        yield return Unit.Degree;
        yield return new("rad", Dimension.Angle, 0, 180 / Math.PI);
        yield return new("mrad", Dimension.Angle, -3, 180 / Math.PI);
        yield return Unit.Code;
        yield return new("code", Dimension.Codes, 0);
        yield return Unit.Tick;
        yield return new("tick", Dimension.Ticks, 0);
    }
}
