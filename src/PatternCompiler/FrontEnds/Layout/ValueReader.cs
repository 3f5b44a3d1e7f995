using System.Globalization;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Geometry;
using PatternCompiler.Model.Layout;
using PatternCompiler.Units;

namespace PatternCompiler.FrontEnds.Layout;

/// <summary>Reads the values of arguments: lengths on the grid, points, factors, counts.</summary>
internal sealed class ValueReader
{
    private static readonly long[] PowersOfTen = [.. Enumerable.Range(0, 19).Select(i => (long)Math.Pow(10, i))];

    /// <summary>Size of a grid step.</summary>
    public long GridPicometres { get; set; } = LayoutDocument.DefaultGridPicometres;

    /// <summary>Unit of bare numbers, 0 if there is none.</summary>
    public long DefaultUnitPicometres { get; set; }

    /// <summary>Parameters in sight.</summary>
    public Scope Scope { get; set; } = new(null);

    /// <summary>How many lengths fell between grid points.</summary>
    public long RoundedCount { get; private set; }

    /// <summary>Where the first of them stands.</summary>
    public SourcePlace FirstRounded { get; private set; }

    /// <summary>Takes a formula.</summary>
    public Amount TakeAmount(ref LineScanner scanner) => new Formula(Scope, DefaultUnitPicometres).Take(ref scanner);

    /// <summary>Takes a length and rounds it to the grid.</summary>
    public int TakeLength(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        if (TryTakeLiteral(ref scanner, out int steps))
        {
            return steps;
        }

        scanner.Position = start;
        var formula = new Formula(Scope, DefaultUnitPicometres);
        return ToGrid(scanner, formula.TakeLength(ref scanner), start);
    }

    /// <summary>Takes a length above zero.</summary>
    public int TakePositiveLength(ref LineScanner scanner, string what)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        int length = TakeLength(ref scanner);
        return length > 0 ? length : throw LessThanOneStep(scanner, what, start);
    }

    /// <summary>Takes a length and rounds half of it to the grid; the half is above zero.</summary>
    public int TakeHalfLength(ref LineScanner scanner, string whatHalf)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        var formula = new Formula(Scope, DefaultUnitPicometres);
        decimal half = formula.TakeLength(ref scanner) / 2;
        int length = ToGrid(scanner, half, start);
        return length > 0 ? length : throw LessThanOneStep(scanner, whatHalf, start);
    }

    /// <summary>Takes a point, <c>(x, y)</c>.</summary>
    public GridPoint TakePoint(ref LineScanner scanner)
    {
        if (!scanner.TryTake('('))
        {
            throw scanner.Unexpected("a point, as in (1, 2)");
        }

        int x = TakeLength(ref scanner);
        scanner.Expect(',', "between x and y");
        int y = TakeLength(ref scanner);
        scanner.Expect(')', "to close the point");
        return new(x, y);
    }

    /// <summary>Takes a step between copies: a point, or a length along the axis of the copies.</summary>
    public GridPoint TakeStep(ref LineScanner scanner, bool alongX)
    {
        if (IsPair(ref scanner))
        {
            return TakePoint(ref scanner);
        }

        int length = TakeLength(ref scanner);
        return alongX ? new(length, 0) : new(0, length);
    }

    /// <summary>Takes a plain number.</summary>
    public decimal TakePlain(ref LineScanner scanner, string what)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        Amount amount = TakeAmount(ref scanner);
        return amount.LengthPower == 0
            ? amount.Value
            : throw scanner.Fault(LayoutCodes.WrongDimension, $"{what} is a plain number, but this is {amount.Kind}", start);
    }

    /// <summary>Takes a plain number as a double; a number written out is read to the last bit.</summary>
    public double TakeReal(ref LineScanner scanner, string what)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        bool isNegative = scanner.TryTake('-');
        if (NumberScanner.IsNext(ref scanner))
        {
            double literal = NumberScanner.TakeReal(ref scanner);
            if (!ContinuesFormula(ref scanner))
            {
                return isNegative ? -literal : literal;
            }
        }

        scanner.Position = start;
        return double.Parse(TakePlain(ref scanner, what).ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture);
    }

    /// <summary>Takes two factors, <c>(fx, fy)</c>, or one for both; none is zero.</summary>
    public (double X, double Y) TakeScale(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        double x;
        double y;
        if (IsPair(ref scanner))
        {
            scanner.Position++;
            x = TakeReal(ref scanner, "a scale factor");
            scanner.Expect(',', "between the two scale factors");
            y = TakeReal(ref scanner, "a scale factor");
            scanner.Expect(')', "to close the scale factors");
        }
        else
        {
            x = y = TakeReal(ref scanner, "a scale factor");
        }

        return x != 0 && y != 0 ? (x, y) : throw scanner.Fault(LayoutCodes.OutOfRange, "a scale factor is not zero", start);
    }

    /// <summary>Takes a dose factor.</summary>
    public DoseFactor TakeDose(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        decimal factor = TakePlain(ref scanner, "a dose factor");
        return factor is >= 0 and <= 2000
            ? new DoseFactor((int)Math.Round(factor * 1_000_000, MidpointRounding.AwayFromZero))
            : throw scanner.Fault(LayoutCodes.OutOfRange, "a dose factor lies between 0 and 2000", start);
    }

    /// <summary>Takes a step of dose factors, in millionths.</summary>
    public int TakeDoseStep(ref LineScanner scanner)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        decimal step = TakePlain(ref scanner, "a dose step");
        return step is >= -2000 and <= 2000
            ? (int)Math.Round(step * 1_000_000, MidpointRounding.AwayFromZero)
            : throw scanner.Fault(LayoutCodes.OutOfRange, "a dose step lies between -2000 and 2000", start);
    }

    /// <summary>Takes a whole number within limits.</summary>
    public int TakeCount(ref LineScanner scanner, string what, int least)
    {
        _ = scanner.AtEnd;
        int start = scanner.Position;
        decimal count = TakePlain(ref scanner, what);
        return count == Math.Truncate(count) && count >= least && count <= int.MaxValue
            ? (int)count
            : throw scanner.Fault(LayoutCodes.OutOfRange, $"{what} is a whole number from {least} to {int.MaxValue}", start);
    }

    /// <summary>The grid step in words.</summary>
    public string GridText => LengthText.Nanometres(GridPicometres);

    private int ToGrid(in LineScanner scanner, decimal picometres, int position)
    {
        decimal exact = picometres / GridPicometres;
        decimal rounded = Math.Round(exact, MidpointRounding.AwayFromZero);
        if (Math.Abs(rounded) > GridPoint.Limit)
        {
            throw BeyondGrid(scanner, position);
        }

        CountRounding(scanner, position, rounded != exact);
        return (int)rounded;
    }

    // A number, perhaps a unit, then ',' or ')' or a word: worked out in whole numbers alone.
    private bool TryTakeLiteral(ref LineScanner scanner, out int steps)
    {
        steps = 0;
        int start = scanner.Position;
        bool isNegative = scanner.TryTake('-');
        if (!NumberScanner.IsNext(ref scanner) || !NumberScanner.TryTakeShort(ref scanner, out long digits, out int decimals))
        {
            return false;
        }

        long unit = TakeUnit(ref scanner, digits == 0);
        if (unit == 0 || ContinuesFormula(ref scanner))
        {
            return false;
        }

        UInt128 numerator = (UInt128)digits * (ulong)unit;
        UInt128 denominator = (UInt128)PowersOfTen[decimals] * (ulong)GridPicometres;
        UInt128 rounded;
        bool isExact;
        if ((numerator | denominator) >> 62 == 0)
        {
            ulong n = (ulong)numerator;
            ulong d = (ulong)denominator;
            rounded = ((2 * n) + d) / (2 * d);
            isExact = n % d == 0;
        }
        else
        {
            rounded = ((2 * numerator) + denominator) / (2 * denominator);
            isExact = numerator % denominator == 0;
        }

        if (rounded > GridPoint.Limit)
        {
            throw BeyondGrid(scanner, start);
        }

        CountRounding(scanner, start, !isExact);
        steps = isNegative ? -(int)rounded : (int)rounded;
        return true;
    }

    /// <summary>Unit after a number: as written, else the default; 0 if the general way must decide.</summary>
    private long TakeUnit(ref LineScanner scanner, bool isZero)
    {
        int afterNumber = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: true);
        if (word.Length > 0 && LengthUnit.TryFind(word, out long picometres))
        {
            return picometres;
        }

        scanner.Position = afterNumber;
        return DefaultUnitPicometres == 0 && isZero ? 1 : DefaultUnitPicometres;
    }

    private static bool ContinuesFormula(ref LineScanner scanner)
    {
        byte next = scanner.Peek();
        if (next is (byte)'+' or (byte)'-' or (byte)'*' or (byte)'/')
        {
            return true;
        }

        int position = scanner.Position;
        ReadOnlySpan<byte> word = scanner.TakeWord(withHyphens: true);
        scanner.Position = position;
        return word.SequenceEqual("deg"u8) || word.SequenceEqual("rad"u8) || (word.Length > 0 && LengthUnit.TryFind(word, out _));
    }

    /// <summary>True if a bracket follows that holds two values parted by a comma.</summary>
    private static bool IsPair(ref LineScanner scanner)
    {
        if (scanner.Peek() != '(')
        {
            return false;
        }

        int depth = 0;
        foreach (byte value in scanner.Text[scanner.Position..])
        {
            depth += value == (byte)'(' ? 1 : value == (byte)')' ? -1 : 0;
            if (depth == 0 || (depth == 1 && value == (byte)','))
            {
                return depth == 1;
            }
        }

        return false;
    }

    private CompileException LessThanOneStep(in LineScanner scanner, string what, int position) =>
        scanner.Fault(LayoutCodes.EmptyShape, $"{what} is less than one grid step ({GridText})", position, $"make it {GridText} or more");

    /// <summary>The fault of something too large for the grid.</summary>
    public CompileException BeyondGrid(in LineScanner scanner, int position, string what = "this length") => scanner.Fault(
        LayoutCodes.OutOfRange,
        $"{what} does not fit the grid of {GridText}, which reaches \u00B1{LengthText.Micrometres(GridPoint.Limit, GridPicometres)} um",
        position,
        "choose a coarser grid, or check the unit");

    private void CountRounding(in LineScanner scanner, int position, bool isRounded)
    {
        if (isRounded && RoundedCount++ == 0)
        {
            FirstRounded = scanner.PlaceOf(position);
        }
    }
}
