using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Limits;

/// <summary>
/// Counts work against its limit. Only the sum decides, so that it does not matter which thread counts what, nor when; the
/// error names nothing that would depend on it.
/// </summary>
public sealed class WorkMeter
{
    private readonly WorkKind kind;
    private readonly long start;
    private readonly long items;
    private readonly SourcePlace place;
    private long used;

    internal WorkMeter(WorkKind kind, long start, long items, SourcePlace place)
    {
        this.kind = kind;
        this.start = start;
        this.items = items;
        this.place = place;
    }

    /// <summary>The largest amount allowed.</summary>
    public long Most => start + (kind.PerItem * items);

    /// <summary>Whether more has been counted than is allowed.</summary>
    public bool IsExceeded => Volatile.Read(ref used) > Most;

    /// <summary>Counts on; throws beyond the limit.</summary>
    /// <exception cref="CompileException">More is asked for than is allowed.</exception>
    public void Add(long amount)
    {
        if (!TryAdd(amount))
        {
            Throw(null);
        }
    }

    /// <summary>Counts on; false beyond the limit. For threads, whose caller then calls <see cref="Require()"/>.</summary>
    public bool TryAdd(long amount) => Interlocked.Add(ref used, amount) <= Most;

    /// <summary>Throws if more has been counted than is allowed.</summary>
    /// <exception cref="CompileException">It has.</exception>
    public void Require()
    {
        if (IsExceeded)
        {
            Throw(null);
        }
    }

    /// <summary>Counts what is known beforehand; beyond the limit the error tells how much it would be.</summary>
    /// <param name="amount">An amount that may be larger than any whole number.</param>
    /// <param name="advice">A remedy that knows more than the usual one.</param>
    /// <exception cref="CompileException">It is more than is allowed.</exception>
    public void Require(double amount, string? advice = null)
    {
        if (!(amount <= Most))
        {
            Throw(amount, advice);
        }
    }

    [DoesNotReturn]
    private void Throw(double? amount, string? advice = null)
    {
        string growth = kind.PerItem == 0 ? ""
            : items == 0 ? $" beyond {kind.PerItem} for each {kind.Item}"
            : $" ({Number(start)}, and {kind.PerItem} for each {kind.Item})";
        string message = amount is double asked
            ? $"{kind.Asks} {Number(asked)} {kind.Unit}; {Number(Most)} are allowed{growth}"
            : $"{kind.Asks} more than the {Number(Most)} {kind.Unit} that are allowed{growth}";
        throw new CompileException(kind.Code, message, place, $"{advice ?? kind.Advice}; if it is meant so, raise 'limits: {kind.Key}' in the job");
    }

    private static string Number(double value) => value.ToString(value < 1e15 ? "0" : "0.##e+0", CultureInfo.InvariantCulture);
}
